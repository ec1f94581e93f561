/**
 * What can be seen of the world from outside, as it happens: the taps that the recorder and the page share.
 * Every signal is piecewise constant; a row says that from `atMs` on it has this value.
 */

import type { Ms } from '../../src/units/index.ts';
import type { Fault } from '../faults/index.ts';

export type Observation = { readonly atMs: Ms } & (
  | { readonly kind: 'gas'; readonly sensor: string; readonly percentLfl: number }
  /** A PDU is a view of the wire's own bytes: who keeps it must copy it. */
  | { readonly kind: 'asked'; readonly line: string; readonly unitId: number; readonly pdu: Uint8Array }
  /** What a careful client takes for the answer; it has come whole at `heardAtMs`. */
  | {
      readonly kind: 'answered';
      readonly heardAtMs: Ms;
      readonly line: string;
      readonly unitId: number;
      readonly pdu: Uint8Array;
    }
  /** A command coil, as the controller set it. */
  | { readonly kind: 'command'; readonly output: string; readonly on: boolean }
  /** What stands at the terminal after watchdog and faults. */
  | { readonly kind: 'terminal'; readonly output: string; readonly on: boolean }
  | { readonly kind: 'input'; readonly input: string; readonly on: boolean }
  | { readonly kind: 'power'; readonly to: string; readonly on: boolean }
  | { readonly kind: 'fault'; readonly in: string; readonly fault: Fault; readonly on: boolean }
  | { readonly kind: 'watchdog'; readonly expired: boolean; readonly watchdogMs: Ms }
  | { readonly kind: 'release'; readonly at: string; readonly rateKgPerS: number }
  | { readonly kind: 'testGas'; readonly sensor: string; readonly percentLfl: number | null }
);

export type Observe = (observation: Observation) => void;
