/** What a fault takes beside its kind, as arbitraries: the plainest value first. */
import fc from 'fast-check';
import { PLACES, type Rig } from '../../src/rig/index.ts';
import type { FaultKind } from '../faults/index.ts';

type Written = Readonly<Record<string, unknown>>;

const NONE = fc.constant<Written>({});

/** Kinds that are not named here take nothing, or what the table takes where nothing is given. */
const BY_KIND: Partial<Record<FaultKind, (rig: Rig, part: string) => fc.Arbitrary<Written>>> = {
  reboots: () => one('every', ['20 s', '8 s', '5 s']),
  offset: () => one('by', ['10 %LFL', '-10 %LFL', '2 %LFL', '-2 %LFL']),
  gain: () => one('factor', [0.5, 2, 0.1]),
  slow: () => one('t90', ['1 min', '5 min']),
  noisy: () => one('by', ['2 %LFL', '10 %LFL']),
  'other-gas': () => one('by', ['10 %LFL', '30 %LFL']),
  misplaced: () => one('at', PLACES),
  swapped: (rig, part) => one('with', neighboursOf(rig, part)),
  'airflow-switch-stuck': () => oneOrNone('reads', ['off', 'on']),
  'output-stuck': () => oneOrNone('reads', ['off', 'on']),
  exception: () => one('code', [4, 6, 11]),
  'same-address': () => one('heard', ['garbled', 'both']),
  late: (rig) => one('by', ['2 s', ...rig.lines.flatMap(({ timeoutMs }) => around(timeoutMs))]),
  dribble: () => one('every', ['2 ms', '20 ms']),
};

export function parametersOf(kind: FaultKind, rig: Rig, part: string): fc.Arbitrary<Written> {
  return BY_KIND[kind]?.(rig, part) ?? NONE;
}

/** Whether a fault of this kind can be put in this part at all: two can be exchanged only on one line. */
export function canHave(kind: FaultKind, rig: Rig, part: string): boolean {
  return kind !== 'swapped' || neighboursOf(rig, part).length > 0;
}

function one(key: string, values: readonly unknown[]): fc.Arbitrary<Written> {
  return fc.constantFrom(...values).map((value) => ({ [key]: value }));
}

function oneOrNone(key: string, values: readonly unknown[]): fc.Arbitrary<Written> {
  return fc.constantFrom<Written>({}, ...values.map((value) => ({ [key]: value })));
}

/** Just within a time-out, and just past it. */
function around(timeoutMs: number): readonly string[] {
  return [timeoutMs - 1, timeoutMs + 1].filter((lateMs) => lateMs > 0).map((lateMs) => `${lateMs} ms`);
}

/** The other sensors of its line. */
export function neighboursOf(rig: Rig, part: string): readonly string[] {
  const lineOf = new Map(rig.sensors.flatMap((one) => (one.kind === 'modbus' ? [[one.id, one.line]] : [])));
  return [...lineOf].filter(([id, line]) => id !== part && line === lineOf.get(part)).map(([id]) => id);
}
