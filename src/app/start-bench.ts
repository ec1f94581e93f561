/**
 * Puts the parts of a bench together: the world, the supervisor, or both, around one record and one clock.
 */
import type { Logger } from 'pino';
import { PollFold } from '../../sim/poll-report/index.ts';
import { LiveWorld, World } from '../../sim/world/index.ts';
import type { ClassPort } from '../api/class-port.ts';
import type { BenchClock } from '../clock/index.ts';
import type { EventRecord } from '../record/index.ts';
import { ADDRESS_EXAMPLES, addressText, type BusAddress, type Rig } from '../rig/index.ts';
import { Bench, WorldTap } from './bench.ts';
import { classOfBench } from './class/class-of-bench.ts';
import { type ControllerPower, powerByCommand } from './controller-power.ts';
import { addressesOf, listenOnLines, mustBeSupervised, supervisedAddresses } from './listening.ts';
import type { SimOptions } from './options.ts';
import { PowerSwitch } from './power-switch.ts';
import { powerUpFrom } from './power-up.ts';
import { probe } from './probe.ts';
import type { LoadedRig } from './rig-option.ts';
import { rigView } from './rig-view.ts';
import { ageDays, serviceDaysLeft } from './service-life.ts';
import { EXIT, Stop } from './stop.ts';
import { SupervisorHost } from './supervisor-host.ts';

export type Part = 'serve' | 'sim' | 'supervise';

export interface Base {
  readonly record: EventRecord;
  readonly clock: BenchClock;
  readonly log: Logger;
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
  const { record, clock, log } = base;
  if (part === 'serve') mustBeSupervised(rig, bus);
  // Asked before anything of this run is on record.
  const powerUp = powerUpFrom(record, rig.policy, Date.now());
  record.append([{ id: 'bench.started', atMs: clock.now(), fields: { rig: rig.name } }]);
  closers.push(() => record.append([{ id: 'bench.stopped', atMs: clock.now(), fields: {} }]));

  const power = new PowerSwitch();
  const polls = part === 'supervise' ? null : new PollFold(rig);
  const world = polls === null ? null : await startWorld(rig, options, bus, base, power, closers, polls);
  const polled = world === null ? await probed(rig, bus) : [];
  const supervised = part === 'serve' && world !== null ? supervisedAddresses(rig, world) : polled;
  const supervisor =
    part === 'sim' ? null : new SupervisorHost({ rig, clock, record, log, addresses: supervised, powerUp });
  if (supervisor !== null) closers.push(() => supervisor.close());
  const controllerPower = supervisor ?? commandPower(options, log);
  power.controller = controllerPower;

  const byLine = new Map(
    rig.lines.map(({ id }, index) => {
      const addresses = world === null ? polled.slice(index, index + 1) : addressesOf(world, id);
      return [id, addresses.map(addressText)];
    }),
  );
  const written = [...byLine].flatMap(([id, texts]) => texts.map((text) => `${id} ${text}`));
  const view = rigView(rig, loaded.warnings, byLine);
  const bench = new Bench({
    rig,
    view,
    clock,
    record,
    log,
    world,
    polls,
    supervisor,
    controllerPower,
  });
  const parts = { rig, supervisor, clock, record, bench };
  const classroom = world === null ? null : classOfBench({ ...parts, world });
  return { bench, classroom, addresses: written };
}

async function startWorld(
  rig: Rig,
  options: SimOptions,
  bus: ReadonlyMap<string, BusAddress>,
  { record, clock, log }: Base,
  power: PowerSwitch,
  closers: Closers,
  polls: PollFold,
): Promise<LiveWorld> {
  const tap = new WorldTap(
    record,
    (to, on) => {
      power.changed(to, on);
    },
    (error) => {
      log.error({ err: error }, 'the record takes nothing');
    },
  );
  const todayMs = Date.now();
  const world = new World(rig, {
    seed: options.seed,
    startMs: clock.now(),
    serviceDaysLeft: (sensor) => serviceDaysLeft(sensor, todayMs),
    ageDays: (sensor) => ageDays(sensor, todayMs),
    observe: (seen) => {
      polls.observe(seen);
      tap.observe(seen);
    },
  });
  const live = new LiveWorld(world, clock);
  closers.push(tap.flush, () => live.close());
  await listenOnLines(live, rig, bus);
  for (const { line, address } of live.addresses) {
    record.append([
      { id: 'wire.opened', atMs: clock.now(), fields: { line, address: addressText(address) } },
    ]);
  }
  return live;
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

function commandPower(options: SimOptions, log: Logger): ControllerPower | null {
  const command = options.controllerPower;
  if (command === undefined) return null;
  return powerByCommand(command, (reason) => {
    log.error({ command, reason }, 'the command that switches the controller failed');
  });
}
