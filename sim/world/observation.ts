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
  /**
   * A request that finds a gateway's line taken: `asked` when its turn comes, if anybody still waits for it.
   */
  | { readonly kind: 'waits'; readonly line: string; readonly unitId: number; readonly pdu: Uint8Array }
  /**
   * What a faulty wire or a gateway makes of an answer, whoever may hear it; told before `answered`. An
   * answer that goes out at once and as it is, exceptions too, is told by `answered` alone.
   */
  | {
      readonly kind: 'sent';
      readonly line: string;
      readonly unitId: number;
      /** When its last byte goes out; null where nothing does. */
      readonly sentAtMs: Ms | null;
      /** The exception that goes out, the device's own or another; null for none. */
      readonly exception: number | null;
      /** The device's own answer; null where it gave none. */
      readonly reply: Uint8Array | null;
      /** A fault of the wire had a hand in it. */
      readonly struck: boolean;
    }
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
  /** The rate as it begins; one that falls does so from there until the next of these. */
  | { readonly kind: 'release'; readonly at: string; readonly rateKgPerS: number }
  | { readonly kind: 'testGas'; readonly sensor: string; readonly percentLfl: number | null }
);

export type Observe = (observation: Observation) => void;
