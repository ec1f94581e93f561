/** Steps become changes of the world: one function a step, each at a moment, each told. */
import type { Place } from '../../src/rig/index.ts';
import { type Ms, ms, percentLfl } from '../../src/units/index.ts';
import { type Device, endPoison, setFaults } from '../device/index.ts';
import type { Step } from '../drill/step.ts';
import { airflowReads, isBlowing } from '../equipment/index.ts';
import { FAULTS, type Fault, faultOf } from '../faults/index.ts';
import { type Outflow, outflowsOf } from '../gas/index.ts';
import { outputsByName } from './tell.ts';
import type { Unit } from './unit.ts';
import type { World } from './world.ts';

/** How long a person's finger stays on the button: longer than a poll, far shorter than a taped one. */
const PRESS_MS = 3000;

/**
 * Carries a step out, or says in a sentence why it cannot. The controller's own power is its host's
 * business: the host hears of it like anyone.
 */
export function applyStep(world: World, step: Step, now: Ms): string | null {
  world.advance(now);
  switch (step.kind) {
    case 'release':
      if (world.atmosphere.chargeLeftKg(now) <= 0)
        return 'release: the charge is gone already; a fresh start of the bench brings a full one';
      if (!startRelease(world, step))
        return 'release: what is left of the charge has no pressure any more; a fresh start of the bench brings a full one';
      break;
    case 'endRelease':
      endRelease(world);
      break;
    case 'testGas':
      holdTestGas(world, step.sensor, step.percentLfl);
      until(world, `testGas ${step.sensor}`, step.lastsMs, () => {
        holdTestGas(world, step.sensor, null);
      });
      break;
    case 'endTestGas':
      world.timers.clear(`testGas ${step.sensor}`);
      holdTestGas(world, step.sensor, null);
      break;
    case 'fault':
      injectFault(world, step.in, step.fault, step.lastsMs);
      break;
    case 'mend':
      for (const fault of world.faults.get(step.in) ?? []) {
        if (step.faultKind === null || fault.kind === step.faultKind) mendFault(world, step.in, fault);
      }
      break;
    case 'call':
      setCalls(world, step.calls);
      break;
    case 'cutPower':
    case 'restorePower':
      setPower(world, step);
      break;
    case 'serviceReset':
      press(world, true);
      until(world, 'serviceReset', PRESS_MS, () => {
        press(world, false);
      });
      break;
    case 'fire':
      world.fire = step.on;
      world.tell({ kind: 'input', atMs: now, input: 'fire', on: step.on });
      break;
  }
  world.settle();
  return null;
}

/** What a step set ends after `lastsMs`; null lasts until another step ends it. */
function until(world: World, key: string, lastsMs: number | null, end: (now: Ms) => void): void {
  if (lastsMs === null) world.timers.clear(key);
  else world.timers.set(key, (world.nowMs + Math.round(lastsMs)) as Ms, end);
}

/** False where nothing would come out. */
function startRelease(world: World, step: Extract<Step, { kind: 'release' }>): boolean {
  const { at, rateKgPerS, falls, pumpDown } = step;
  const { nowMs, atmosphere } = world;
  const lastsMs = step.lastsMs === null ? null : ms(step.lastsMs);
  const outflows = outflowsOf(
    falls ?? { rateKgPerS, lastsMs },
    atmosphere.chargeLeftKg(nowMs),
    nowMs,
    pumpDown,
  );
  if (outflows.length === 0) return false;
  goOn(world, at, outflows);
  return true;
}

/** The first of these, and at its end the next. */
function goOn(world: World, at: Place, [outflow, ...later]: readonly Outflow[]): void {
  if (outflow === undefined) {
    endRelease(world);
    return;
  }
  const { kgPerS, fallsPerS = 0, untilMs } = outflow;
  world.atmosphere.setRelease(at, kgPerS, world.nowMs, fallsPerS);
  world.tell({ kind: 'release', atMs: world.nowMs, at, rateKgPerS: kgPerS });
  world.timers.set('release', untilMs, () => {
    goOn(world, at, later);
  });
}

function endRelease(world: World): void {
  const at = world.atmosphere.releasesAt;
  world.timers.clear('release');
  if (at === null) return;
  world.atmosphere.setRelease(at, 0, world.nowMs);
  world.tell({ kind: 'release', atMs: world.nowMs, at, rateKgPerS: 0 });
}

function holdTestGas(world: World, sensor: string, level: number | null): void {
  const index = world.rig.sensors.findIndex((one) => one.id === sensor);
  world.atmosphere.holdTestGas(index, level === null ? null : percentLfl(level), world.nowMs, world.tell);
  world.tell({ kind: 'testGas', atMs: world.nowMs, sensor, percentLfl: level });
}

function setCalls(world: World, calls: Extract<Step, { kind: 'call' }>['calls']): void {
  for (const call of ['cooling', 'heating', 'fan'] as const) {
    const on = calls[call];
    if (on === undefined || on === world.calls[call]) continue;
    world.calls[call] = on;
    world.tell({ kind: 'input', atMs: world.nowMs, input: `call.${call}`, on });
  }
}

function press(world: World, pressed: boolean): void {
  world.serviceReset = pressed;
  world.tell({ kind: 'input', atMs: world.nowMs, input: 'serviceReset', on: pressed });
}

function setPower(world: World, step: Extract<Step, { kind: 'cutPower' | 'restorePower' }>): void {
  const { to } = step;
  const on = step.kind === 'restorePower';
  // A cut on a cut is one cut, that lasts as the later says.
  until(world, `power ${to}`, step.kind === 'cutPower' ? step.cutMs : null, () => {
    setPower(world, { kind: 'restorePower', to });
  });
  // Who has power loses nothing where it is switched on again.
  if (on !== world.unpowered.has(to)) return;
  world.tell({ kind: 'power', atMs: world.nowMs, to, on });
  if (on) world.unpowered.delete(to);
  else world.unpowered.add(to);
  // The world has no part in the controller but to know that it is without power.
  if (to === 'controller') return;
  if (to === 'rig') world.supplyAll();
  else for (const unit of unitsOf(world, to)) world.supply(unit);
  world.settle();
}

function unitsOf(world: World, id: string): readonly Unit[] {
  return world.units.filter((unit) => unit.device.plan.id === id);
}

function injectFault(world: World, target: string, fault: Fault, lastsMs: number | null): void {
  const drawnOnce = FAULTS[fault.kind].drawn === 'once';
  if (drawnOnce && fault.probability < 1 && world.draw.chance() >= fault.probability) return;
  if (fault.kind === 'swapped') endSwapsOf(world, [target, fault.parameters.with]);
  const settled = asItStands(world, target, fault);
  const others = (world.faults.get(target) ?? []).filter((other) => other.kind !== fault.kind);
  changeFaults(world, target, [...others, settled]);
  if (settled.kind === 'swapped') swapAddresses(world, target, settled.parameters.with);
  world.tell({ kind: 'fault', atMs: world.nowMs, in: target, fault: settled, on: true });
  until(world, `fault ${target} ${fault.kind}`, lastsMs, () => {
    mendFault(world, target, settled);
    world.settle();
  });
}

/** A poisoned sensor is mended by what time does to it: until then its fault stands. */
function mendFault(world: World, target: string, fault: Fault): void {
  if (fault.kind !== 'poisoned') {
    takeOut(world, target, fault);
    return;
  }
  for (const { device } of unitsOf(world, target)) {
    const recoveryMs = endPoison(device, world.nowMs);
    if (recoveryMs === null) continue;
    until(world, `fault ${target} ${fault.kind}`, recoveryMs, () => {
      takeOut(world, target, fault);
      world.settle();
    });
  }
}

function takeOut(world: World, target: string, fault: Fault): void {
  world.timers.clear(`fault ${target} ${fault.kind}`);
  changeFaults(
    world,
    target,
    (world.faults.get(target) ?? []).filter((other) => other.kind !== fault.kind),
  );
  if (fault.kind === 'swapped') swapAddresses(world, target, fault.parameters.with);
  world.tell({ kind: 'fault', atMs: world.nowMs, in: target, fault, on: false });
}

/** "Stays as it is" is settled the moment the fault comes. */
function asItStands(world: World, target: string, fault: Fault): Fault {
  if (fault.kind === 'output-stuck' && fault.parameters.reads === undefined) {
    const outputs = outputsByName(world.terminals, world.rig.circuits);
    return { ...fault, parameters: { reads: outputs[target.slice('output.'.length)] === true } };
  }
  if (fault.kind === 'airflow-switch-stuck' && fault.parameters.reads === undefined) {
    const reads = airflowReads(isBlowing(world.plant, world.nowMs), world.faults);
    return { ...fault, parameters: { reads } };
  }
  return fault;
}

function changeFaults(world: World, target: string, faults: readonly Fault[]): void {
  if (faults.length === 0) world.faults.delete(target);
  else world.faults.set(target, faults);
  const index = world.rig.sensors.findIndex((sensor) => sensor.id === target);
  const sensor = world.rig.sensors[index];
  if (sensor === undefined) return;
  const place = faultOf(faults, 'misplaced')?.parameters.at ?? sensor.at;
  const t90Ms = faultOf(faults, 'slow')?.parameters.t90 ?? sensor.responseT90Ms;
  world.atmosphere.mount(index, place, t90Ms, world.nowMs, world.tell);
  for (const unit of unitsOf(world, target)) {
    setFaults(unit.device, faults, world.atmosphere.sensed(index, world.nowMs), unit.facts, world.nowMs);
    world.supply(unit);
  }
}

/** A sensor holds one other's address at a time: swaps upon one another could not be ended one by one. */
function endSwapsOf(world: World, pair: readonly string[]): void {
  for (const [target, faults] of [...world.faults]) {
    const swapped = faultOf(faults, 'swapped');
    if (swapped === undefined) continue;
    if (pair.includes(target) || pair.includes(swapped.parameters.with)) takeOut(world, target, swapped);
  }
}

/** Two sensors hold each other's address: only who answers where changes, never who sits where. */
function swapAddresses(world: World, one: string, other: string): void {
  const [first] = unitsOf(world, one);
  const [second] = unitsOf(world, other);
  if (first === undefined || second === undefined) return;
  exchange(first.device, second.device);
}

function exchange(first: Device, second: Device): void {
  [first.address, second.address] = [second.address, first.address];
  [first.nextAddress, second.nextAddress] = [second.nextAddress, first.nextAddress];
}
