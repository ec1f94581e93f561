/**
 * Puts the parts of a bench together: the world, the supervisor, or both, around one record and one clock.
 */
import type { Logger } from 'pino';
import type { ClassPort } from '../api/class-port.ts';
import type { BenchClock } from '../clock/index.ts';
import type { EventRecord } from '../record/index.ts';
import { ADDRESS_EXAMPLES, addressText, type BusAddress, type Rig } from '../rig/index.ts';
import { Bench, type SensorParts } from './bench.ts';
import { classOfBench } from './class/class-of-bench.ts';
import { type ControllerPower, powerByCommand } from './controller-power.ts';
import { DrillInPlace } from './drill/in-place.ts';
import { Recording } from './drill/recording.ts';
import type { Failure } from './failure.ts';
import { FreshStart } from './fresh-start.ts';
import { tellHeldUp } from './held-up.ts';
import { addressesOf, listenOnLines, mustBeSupervised, supervisedAddresses } from './listening.ts';
import type { SimOptions } from './options.ts';
import { PowerSwitch } from './power-switch.ts';
import { powerUpFrom } from './power-up.ts';
import { probe } from './probe.ts';
import type { LoadedRig } from './rig-option.ts';
import { rigView } from './rig-view.ts';
import { Stage } from './stage.ts';
import { EXIT, Stop } from './stop.ts';
import { SupervisorHost } from './supervisor-host.ts';
import { tellerTo } from './teller.ts';
import { WorldTap } from './world-tap.ts';

export type Part = 'serve' | 'sim' | 'supervise';

export interface Base {
  readonly record: EventRecord;
  readonly clock: BenchClock;
  readonly log: Logger;
  readonly failure: Failure;
}
export type Closers = (() => unknown)[];

export interface Started {
  readonly bench: Bench;
  /** null where the sensors run elsewhere: there is nothing for a class to see. */
  readonly classroom: ClassPort | null;
  readonly addresses: readonly string[];
}

export async function startBench(
  part: Part,
  loaded: LoadedRig,
  options: SimOptions,
  bus: ReadonlyMap<string, BusAddress>,
  base: Base,
  closers: Closers,
): Promise<Started> {
  const { rig } = loaded;
  const { record, clock, log, failure } = base;
  if (part === 'serve') mustBeSupervised(rig, bus);
  // Asked before anything of this run is on record.
  const powerUp = powerUpFrom(record, rig.policy, Date.now());
  record.append([{ id: 'bench.started', atMs: clock.now(), fields: { rig: rig.name } }]);
  closers.push(() => record.append([{ id: 'bench.stopped', atMs: clock.now(), fields: {} }]));
  closers.push(tellHeldUp(rig, clock, tellerTo(record, log)));

  const sensed = part === 'supervise' ? null : await startStage(rig, options, bus, base, closers);
  const polled = sensed === null ? await probed(rig, bus) : [];
  const supervised =
    part === 'serve' && sensed !== null ? supervisedAddresses(rig, sensed.stage.live) : polled;
  const host = { rig, clock, record, log, addresses: supervised, powerUp, failed: failure.raise };
  const supervisor = part === 'sim' ? null : new SupervisorHost(host);
  if (supervisor !== null) {
    failure.atOnce = (error) => supervisor.fail(error);
    closers.push(() => supervisor.close());
  }
  const controllerPower = supervisor ?? commandPower(options, log, closers);
  const sensors =
    sensed === null ? null : sensorParts(rig, options, base, sensed, supervisor, controllerPower);

  const byLine = new Map(
    rig.lines.map(({ id }, index) => {
      const addresses = sensed === null ? polled.slice(index, index + 1) : addressesOf(sensed.stage.live, id);
      return [id, addresses.map(addressText)];
    }),
  );
  const written = [...byLine].flatMap(([id, texts]) => texts.map((text) => `${id} ${text}`));
  const view = rigView(rig, loaded.warnings, byLine);
  const bench = new Bench({ rig, view, clock, record, sensors, supervisor, controllerPower });
  closers.push(() => {
    bench.close();
  });
  const parts = { rig, supervisor, clock, record, bench };
  const classroom = sensors === null ? null : classOfBench({ ...parts, world: sensors.stage.live });
  return { bench, classroom, addresses: written };
}

/** The world at its addresses, with what it tells and what it switches. */
interface Sensed {
  readonly stage: Stage;
  readonly tap: WorldTap;
  readonly power: PowerSwitch;
}

async function startStage(
  rig: Rig,
  options: SimOptions,
  bus: ReadonlyMap<string, BusAddress>,
  { record, clock, log }: Base,
  closers: Closers,
): Promise<Sensed> {
  const power = new PowerSwitch((error) => {
    log.error({ err: error }, 'the power of the controller could not be switched');
  });
  const tap = new WorldTap(tellerTo(record, log), (to, on) => {
    power.changed(to, on);
  });
  const stage = new Stage({ rig, seed: options.seed, clock, observe: tap.observe });
  const { live } = stage;
  closers.push(tap.flush, () => live.close());
  await listenOnLines(live, rig, bus);
  for (const { line, address } of live.addresses) {
    record.append([
      { id: 'wire.opened', atMs: clock.now(), fields: { line, address: addressText(address) } },
    ]);
  }
  return { stage, tap, power };
}

function sensorParts(
  rig: Rig,
  { seed }: SimOptions,
  { record, clock, log }: Base,
  { stage, tap, power }: Sensed,
  supervisor: SupervisorHost | null,
  controllerPower: ControllerPower | null,
): SensorParts {
  power.controller = controllerPower;
  const fresh = new FreshStart({
    stage,
    record,
    clock,
    power,
    flush: tap.flush,
    supervisor,
    controllerPower,
  });
  const recording = new Recording(rig, stage.beganAtMs);
  const drills = new DrillInPlace({
    clock,
    record,
    log,
    stage,
    fresh,
    recording,
    controller: supervisor === null ? 'external' : 'builtin',
    canSwitch: controllerPower !== null,
    seed,
  });
  return { stage, fresh, drills, recording };
}

/** A bus that is not there is said at once; one that goes away later is waited for. */
async function probed(rig: Rig, bus: ReadonlyMap<string, BusAddress>): Promise<readonly BusAddress[]> {
  const addresses = rig.lines.map((line) => {
    const given = bus.get(line.id);
    if (given !== undefined) return given;
    throw new Stop(
      EXIT.usage,
      `line ${line.id} has no bus; add --bus ${line.id}=ADDRESS, such as ${ADDRESS_EXAMPLES}`,
    );
  });
  for (const address of addresses) {
    const reason = await probe(address);
    if (reason === null) continue;
    throw new Stop(
      EXIT.surroundings,
      `the bus at ${addressText(address)} cannot be reached: ${reason}; check the address, or start the sensors first (leakbench sim)`,
    );
  }
  return addresses;
}

function commandPower(options: SimOptions, log: Logger, closers: Closers): ControllerPower | null {
  const command = options.controllerPower;
  if (command === undefined) return null;
  const power = powerByCommand(command, (reason) => {
    log.error({ command, reason }, 'the command that switches the controller failed');
  });
  closers.push(() => power.close());
  return power;
}
