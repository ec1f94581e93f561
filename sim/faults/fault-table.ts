/**
 * Every fault the bench can play: kind, targets, parameters, meaning. One row serves the drill file, the
 * API, the page and the documents; the device or equipment it belongs to reads the kind from here.
 *
 * Any fault also takes `lasts` and `probability` (0 to 1, from the bench's seed): `drawn` says whether the
 * chance is drawn once, when the fault is put in, or anew at each request; `usually` what it is where none
 * is given.
 */
import { z } from 'zod';
import { gasAmount, gasDifference, quantity, switchSchema } from '../../src/files/index.ts';
import { PLACES } from '../../src/rig/index.ts';
import { type Row, row, told, toldTime } from './row.ts';
import { WIRE_FAULT_KINDS, WIRE_FAULTS, type WireFaultKind } from './wire-faults.ts';

const A_FACTOR = 'a bare number above zero, such as 0.5';
/** Nothing in the field multiplies by more: a choice of ours, no source. */
const FACTOR_MAX = 1000;
const FACTOR = `takes ${A_FACTOR}`;
const factor = z
  .number({ error: FACTOR })
  .positive({ error: FACTOR })
  .max(FACTOR_MAX, { error: `takes at most ${FACTOR_MAX}` });

/** What is left of a sensitivity; all of it would be no fault. */
const A_SHARE_LEFT = 'a bare number from 0 to below 1, such as 0.3';
const LEFT = `takes ${A_SHARE_LEFT}`;
const left = z.number({ error: LEFT }).min(0, { error: LEFT }).lt(1, { error: LEFT });
/** Our choice: it outlasts a drill of minutes, and is over within a day. */
const RECOVERY_HALF_LIFE = '30 min';

/** What parameters take, for a person who fills them in. */
const A_TIME = 'a time, such as 30 s';
const AN_AMOUNT = 'an amount of gas, such as 5 %LFL';
const ON_OR_OFF = 'on or off; left out, it stays as it is';

/** What the fault code register holds; 0 is none. */
const A_CODE = 'a whole number, 1 to 65535';
const CODE = `takes ${A_CODE}`;

export const FAULTS = {
  silent: row(['sensor'], 'each request', 'does not answer', {}),
  'self-failed': row(['sensor'], 'once', 'reports that it has failed, with a fault code', {
    code: told(
      z.int({ error: CODE }).min(1, { error: CODE }).max(65535, { error: CODE }).default(1),
      A_CODE,
      1,
    ),
  }),
  stuck: row(['sensor'], 'once', 'its number stays where it is, its state goes on', {}),
  'stuck-state': row(['sensor'], 'once', 'its state word and bits stay as they are, its number goes on', {}),
  'stuck-warm-up': row(['sensor'], 'once', 'never ends its warming up', {}),
  reboots: row(['sensor'], 'once', 'restarts again and again', {
    every: toldTime(quantity('time', { least: '100 ms' }).prefault('30 s'), A_TIME, '30 s'),
  }),
  blind: row(['sensor'], 'once', 'passes its self-test and sees nothing', {}),
  offset: row(['sensor'], 'once', 'reads so much too high or too low', {
    by: told(gasDifference, 'an amount of gas, also below zero, such as -5 %LFL', '5 %LFL'),
  }),
  gain: row(['sensor'], 'once', 'reads so many times the gas', { factor: told(factor, A_FACTOR, 0.5) }),
  slow: row(['sensor'], 'once', 'responds with this t90', {
    t90: toldTime(quantity('time'), 'a time, such as 1 min', '1 min'),
  }),
  noisy: row(['sensor'], 'each request', 'its reading scatters with this standard deviation', {
    by: told(gasAmount, AN_AMOUNT, '2 %LFL'),
  }),
  saturated: row(['sensor'], 'once', 'its reading stands at the top of its range', {
    at: told(gasAmount.prefault('100 %LFL'), AN_AMOUNT, '100 %LFL'),
  }),
  'frozen-counter': row(['sensor'], 'once', 'its measurement counter stands still', {}),
  'worn-out': row(['sensor'], 'once', 'its service life is over: it says so, and sees less', {
    factor: told(factor.default(0.6), A_FACTOR, 0.6),
  }),
  poisoned: row(
    ['sensor'],
    'once',
    'a vapour has dulled it: its sensitivity falls to this factor, and once that is over it comes back by halves',
    {
      factor: told(left.default(0.3), A_SHARE_LEFT, 0.3),
      halfLife: toldTime(quantity('time').prefault(RECOVERY_HALF_LIFE), A_TIME, RECOVERY_HALF_LIFE),
    },
  ),
  'other-gas': row(['sensor'], 'once', 'another gas is there, which it takes for so much refrigerant', {
    by: told(gasAmount, AN_AMOUNT, '8 %LFL'),
  }),
  misplaced: row(['sensor', 'contact'], 'once', 'is mounted at another place', {
    at: told(z.enum(PLACES), 'a place', PLACES[0]),
  }),
  swapped: row(['sensor'], 'once', 'it and another sensor of its line hold each other’s address', {
    with: told(
      z.string({ error: 'takes the name of another Modbus sensor' }),
      'the name of another Modbus sensor of its line',
    ),
  }),
  'no-power': row(['sensor', 'contact'], 'once', 'has no supply', {}),
  'wire-open': row(['contact'], 'once', 'its wire is broken', {}),
  'wire-short': row(['contact'], 'once', 'its wires touch', {}),
  'fan-dead': row(['fan'], 'once', 'the fan does not turn', {}),
  'airflow-switch-stuck': row(['airflow'], 'once', 'the airflow switch stays as it is, or as told', {
    reads: told(switchSchema.optional(), ON_OR_OFF, 'on'),
  }),
  'compressor-welded': row(
    ['compressor'],
    'once',
    'its contactor is welded: it runs whatever is commanded',
    {},
  ),
  'output-stuck': row(['output'], 'once', 'the terminal stays as it is, or as told', {
    reads: told(switchSchema.optional(), ON_OR_OFF, 'on'),
  }),
  'io-silent': row(['fieldIo'], 'each request', 'the field I/O does not answer', {}),
  ...WIRE_FAULTS,
} as const satisfies Record<string, Row>;

export type FaultKind = keyof typeof FAULTS;
export const FAULT_KINDS = Object.keys(FAULTS) as FaultKind[];

/** A fault in force, its parameters checked. */
export type Fault = {
  readonly [Kind in FaultKind]: {
    readonly kind: Kind;
    readonly parameters: z.infer<(typeof FAULTS)[Kind]['parameters']>;
    /** 1 for always; below that, the chance at each request. */
    readonly probability: number;
  };
}[FaultKind];

export type FaultOf<Kind extends FaultKind> = Extract<Fault, { kind: Kind }>;
export type WireFault = FaultOf<WireFaultKind>;

export function isFaultKind(kind: string): kind is FaultKind {
  return Object.hasOwn(FAULTS, kind);
}

const ON_WIRE: ReadonlySet<string> = new Set(WIRE_FAULT_KINDS);

export function isWireFault(fault: Fault): fault is WireFault {
  return ON_WIRE.has(fault.kind);
}

/** The fault of a kind that is in force, or undefined. */
export function faultOf<Kind extends FaultKind>(
  faults: readonly Fault[],
  kind: Kind,
): FaultOf<Kind> | undefined {
  // Asked a dozen times a poll, nearly always of no faults at all: `find` would make a function each time.
  for (const fault of faults) if (fault.kind === kind) return fault as FaultOf<Kind>;
  return undefined;
}
