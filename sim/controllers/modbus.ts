/**
 * The minimal controller on a Modbus TCP bus, for drills with --controller external.
 *
 * node dist/sim/controllers/modbus.js --bus tcp://127.0.0.1:1502 --speed 20 --state /tmp/kept \
 *   coil-a=11:240811 coil-b=12:240812 grille=input8
 *
 * A sensor is ID=UNIT[:SERIAL] or ID=inputN[:closes-on-gas]. Its times are bench time: at speed 20 all of
 * them, and its cycle, take a twentieth.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { KeptFile } from './kept-file.ts';
import { decide, powerUp } from './minimal-controller.ts';
import { type Ask, readCycle, type Wiring, write } from './modbus-cycle.ts';
import { ModbusLine } from './modbus-line.ts';
import type { Cycle, PlannedSensor, Policy } from './plan.ts';

const POLICY: Policy = {
  setpointPercentLfl: 20,
  clearBelowPercentLfl: 18,
  holdMs: 300_000,
  silentAfterMs: 5000,
  fanProofWithinMs: 10_000,
  compressorMinOffMs: 180_000,
  latchTrips: null,
  latchWithinMs: null,
};
const POLL_EVERY_MS = 1000;
/** Three silent units still leave a cycle shorter than the watchdog of the field I/O. */
const TIMEOUT_MS = 300;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    bus: { type: 'string', default: 'tcp://127.0.0.1:1502' },
    speed: { type: 'string', default: '1' },
    circuits: { type: 'string', default: 'a,b' },
    state: { type: 'string', default: '.' },
    /** JSON, what differs from the policy above. */
    policy: { type: 'string', default: '{}' },
  },
});

const speed = Number(values.speed);
const asked = { ...POLICY, ...(JSON.parse(values.policy) as Partial<Policy>) };
// What it decides reaches the equipment up to a cycle later than it thinks, so it waits that much longer.
const policy = scaled({
  ...asked,
  holdMs: asked.holdMs + POLL_EVERY_MS,
  compressorMinOffMs: asked.compressorMinOffMs + POLL_EVERY_MS,
});
const wired = positionals.map(wiredAs);
const wiring: Wiring = {
  plan: { policy, sensors: wired.map(({ planned }) => planned), circuits: values.circuits.split(',') },
  at: Object.fromEntries(wired.map(({ planned, place }) => [planned.id, place])),
};
const { hostname, port } = new URL(values.bus.replace(/^tcp:/u, 'http:'));
const line = new ModbusLine(hostname, Number(port), TIMEOUT_MS / speed);
const ask: Ask = (unit, request) => line.ask(unit, request);
const file = new KeptFile(values.state);
let memory = powerUp(wiring.plan, file.load(policy.latchTrips !== null));
let last: Cycle | null = null;

for (;;) {
  const beganMs = Date.now();
  last = await readCycle(wiring, ask, last, Date.now);
  const decision = decide(memory, last);
  memory = decision.memory;
  // First to the disk, then to the outputs: a cut in between must not lose a mitigation.
  file.store(memory.kept);
  await write(decision.commands, ask);
  await sleep(Math.max(0, beganMs + POLL_EVERY_MS / speed - Date.now()));
}

/** Milliseconds of the bench become milliseconds of the clock on the wall. */
function scaled(bench: Policy): Policy {
  const times = Object.entries(bench).map(([name, value]: [string, number | null]) => [
    name,
    value !== null && name.endsWith('Ms') ? value / speed : value,
  ]);
  return Object.fromEntries(times) as Policy;
}

function wiredAs(text: string): { readonly planned: PlannedSensor; readonly place: number } {
  const match = /^(?<id>[^=]+)=(?<input>input)?(?<place>\d+)(?::(?<more>.+))?$/u.exec(text);
  if (match?.groups === undefined) {
    throw new Error(`${text} is no sensor; write ID=UNIT:SERIAL or ID=inputN`);
  }
  const { id = '', input, place, more } = match.groups;
  const contact = more === 'closes-on-gas' ? 'closes-on-gas' : 'opens-on-gas';
  return {
    planned:
      input === undefined ? { id, kind: 'modbus', serial: more ?? null } : { id, kind: 'contact', contact },
    place: Number(place),
  };
}
