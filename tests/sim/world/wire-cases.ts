/**
 * Every fault of the wire, and what a careful client makes of it on each kind of line; the demo rig with its
 * line of each kind; a bench with such a line on a real socket.
 */
import { type Fault, WIRE_FAULT_KINDS, type WireFaultKind } from '../../../sim/faults/index.ts';
import { LiveWorld, type Observe, World } from '../../../sim/world/index.ts';
import { benchClock } from '../../../src/clock/index.ts';
import { UNWATCHED } from '../../../src/line/index.ts';
import { type BusAddress, framingOf, type Rig } from '../../../src/rig/index.ts';
import type { BusClient } from '../../../src/supervisor/bus.ts';
import { busClient } from '../../../src/supervisor/bus-client.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

export const KINDS = ['Modbus TCP', 'RTU over TCP', 'a gateway'] as const;
export type LineKind = (typeof KINDS)[number];
export type Heard = 'answered' | 'refused' | 'mismatched' | 'silent';

/** By kind of line. A gateway says 0B, which is refused, for what it cannot hear itself. */
// biome-ignore format: a table reads best in rows
const TABLE = [
  ['exception', {},                             'refused',    'refused',    'refused'],
  ['exception', { code: 7 },                    'refused',    'refused',    'refused'],
  ['wrong-unit', {},                            'mismatched', 'mismatched', 'refused'],
  ['wrong-transaction', {},                     'silent',     'answered',   'silent'],
  ['wrong-function', {},                        'mismatched', 'mismatched', 'mismatched'],
  ['short-frame', {},                           'mismatched', 'mismatched', 'mismatched'],
  ['long-frame', {},                            'mismatched', 'mismatched', 'mismatched'],
  ['bad-crc', {},                               'answered',   'mismatched', 'refused'],
  ['same-address', {},                          'mismatched', 'mismatched', 'refused'],
  ['same-address', { heard: 'both' },           'answered',   'answered',   'answered'],
  ['garbage', {},                               'silent',     'mismatched', 'refused'],
  ['drop-connection', {},                       'silent',     'mismatched', 'silent'],
  ['dribble', {},                               'answered',   'answered',   'answered'],
  ['dribble', { every: '100 ms' },              'silent',     'mismatched', 'refused'],
  ['late', { by: '30 ms' },                     'answered',   'answered',   'answered'],
  ['late', { by: '250 ms' },                    'answered',   'answered',   'refused'],
  ['late', { by: '600 ms' },                    'silent',     'silent',     'refused'],
  ['lossy', { probability: 1 },                 'silent',     'silent',     'refused'],
  ['refuse', {},                                'silent',     'silent',     'silent'],
] as const satisfies readonly (readonly [WireFaultKind, object, Heard, Heard, Heard])[];

export interface WireCase {
  readonly line: LineKind;
  readonly kind: WireFaultKind;
  readonly parameters: object;
  readonly outcome: Heard;
}

export const CASES: readonly WireCase[] = KINDS.flatMap((line, at) =>
  TABLE.map(([kind, parameters, ...outcomes]) => {
    return { line, kind, parameters, outcome: outcomes[at] ?? 'silent' };
  }),
);

export const PLAYED: ReadonlySet<Fault['kind']> = new Set(TABLE.map(([kind]) => kind));
export const ALL_KINDS: ReadonlySet<Fault['kind']> = new Set(WIRE_FAULT_KINDS);

const SEED = 3;
const PACE = { baud: 19_200, parity: 'even', stopBits: 1, timeoutMs: ms(200) } as const;
const LISTEN: Readonly<Record<LineKind, BusAddress>> = {
  'Modbus TCP': { kind: 'tcp', host: '127.0.0.1', port: 0 },
  'RTU over TCP': { kind: 'rtu+tcp', host: '127.0.0.1', port: 0 },
  'a gateway': { kind: 'tcp', host: '127.0.0.1', port: 0 },
};

export const RIGS = Object.fromEntries(KINDS.map((kind) => [kind, rigWith(kind)])) as Record<LineKind, Rig>;

function rigWith(kind: LineKind): Rig {
  const rig = demoRig();
  const pace = kind === 'a gateway' ? PACE : null;
  return { ...rig, lines: rig.lines.map((line) => ({ ...line, listen: [LISTEN[kind]], pace })) };
}

/** The line as the virtual wire has it. */
export function virtualLine(kind: LineKind, timeoutMs: number = TIMEOUT_MS) {
  return { id: 'main', framing: framingOf({ listen: [LISTEN[kind]] }), timeoutMs: ms(timeoutMs) };
}

export const TIMEOUT_MS = RIGS['Modbus TCP'].lines[0]?.timeoutMs ?? ms(0);

export const faultStep = (subject: string, kind: string, parameters: object) =>
  stepFor(RIGS['Modbus TCP'], { fault: { in: subject, kind, ...parameters } });

export function newWorld(kind: LineKind, observe: Observe = () => undefined): World {
  return new World(RIGS[kind], { seed: SEED, startMs: ms(0), serviceDaysLeft: () => 1000, observe });
}

export async function onSocket(kind: LineKind, speed = 1, observe?: Observe) {
  const clock = benchClock(speed);
  const closers: (() => unknown)[] = [];
  const live = new LiveWorld(newWorld(kind, observe), clock);
  await live.listen(() => [LISTEN[kind]]);
  const [first] = live.addresses;
  if (first === undefined) throw new Error('nowhere to ask');
  const bus: BusClient = busClient(first.address, UNWATCHED);
  closers.push(
    () => {
      clock.stop();
    },
    () => live.close(),
    () => {
      bus.close();
    },
  );
  const close = async (): Promise<void> => {
    for (const one of closers.splice(0).reverse()) await one();
  };
  return { clock, live, bus, closers, close };
}
