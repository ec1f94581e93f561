/**
 * What a random drill is to be about: the moves it is asked to hold beside its free ones. Orders are plain
 * data, so that they can go to a worker.
 */
import fc from 'fast-check';
import { RULE_IDS, type RuleId } from '../judge/rules.ts';
import type { Start } from './corpus.ts';
import type { Deeds, Possible } from './deeds.ts';
import type { Move } from './moves.ts';

export type FocusOrder =
  | { readonly on: 'anything' }
  /** `way`: which of the ways to bring the rule into play. */
  | { readonly on: 'rule'; readonly rule: RuleId; readonly way: number }
  | { readonly on: 'faults'; readonly faults: readonly Possible[] }
  /** Not a new drill, but one that was run, and what may come after. */
  | { readonly on: 'further'; readonly from: Start };

export interface Focus {
  readonly moves: (deeds: Deeds) => readonly fc.Arbitrary<Move>[];
  /** Whether it may come several times, a hold apart. */
  readonly repeats?: true;
  /** Whether it comes to nothing unless a call stands that something can serve. */
  readonly called?: true;
  /** Whether what it asks for may need more than a hold. */
  readonly long?: true;
}

/** What brings a rule into play, a row a way. */
const PROVOKES: Readonly<Record<RuleId, readonly Focus[]>> = {
  ask: [{ moves: (deeds) => [faultOf(deeds, ['silent', 'late', 'io-silent', 'lossy'])] }],
  respond: [{ moves: (deeds) => [deeds.testGas] }],
  silent: [{ moves: (deeds) => [faultOf(deeds, ['silent', 'no-power', 'lossy', 'garbage', 'exception'])] }],
  'self-failed': [{ moves: (deeds) => [faultOf(deeds, ['self-failed'])] }],
  implausible: [
    { moves: (deeds) => [faultOf(deeds, ['frozen-counter', 'saturated', 'stuck'])] },
    { moves: (deeds) => [deeds.contradiction] },
  ],
  identity: [{ moves: (deeds) => [faultOf(deeds, ['swapped'])] }],
  chain: [{ moves: (deeds) => [deeds.release] }],
  'stay-off': [{ moves: (deeds) => [deeds.release, deeds.call] }],
  recheck: [{ moves: (deeds) => [deeds.testGas, deeds.testGas], long: true }],
  hold: [{ moves: (deeds) => [deeds.testGas], long: true }],
  'power-cut': [{ moves: (deeds) => [deeds.cutInEpisode], long: true }],
  start: [
    {
      moves: (deeds) => [deeds.cut('rig'), faultOf(deeds, ['stuck-warm-up', 'reboots', 'silent'])],
      called: true,
    },
  ],
  'prove-fan': [{ moves: (deeds) => [faultOf(deeds, ['fan-dead', 'airflow-switch-stuck'])], called: true }],
  'short-cycle': [{ moves: (deeds) => [deeds.interruption], called: true }],
  resume: [
    { moves: (deeds) => [deeds.testGas], called: true, long: true },
    { moves: (deeds) => [deeds.slight], called: true, long: true },
  ],
  'no-nuisance': [{ moves: (deeds) => [deeds.testGas, deeds.slight], called: true }],
  latch: [
    { moves: (deeds) => [deeds.testGas], called: true, repeats: true },
    { moves: (deeds) => [deeds.resetInGas], called: true, repeats: true },
    { moves: (deeds) => [deeds.cutInEpisode], called: true, repeats: true },
  ],
  announce: [
    { moves: (deeds) => [faultOf(deeds, ['silent', 'self-failed', 'frozen-counter', 'fan-dead'])] },
    { moves: (deeds) => [deeds.resetInGas] },
  ],
  fire: [{ moves: (deeds) => [deeds.fire, deeds.testGas] }],
};

/** Every way to bring every rule into play. */
export const WAYS: readonly Extract<FocusOrder, { on: 'rule' }>[] = RULE_IDS.flatMap((rule) =>
  PROVOKES[rule].map((_, way) => ({ on: 'rule', rule, way }) as const),
);

export function focusOf(order: Exclude<FocusOrder, { on: 'further' }>): Focus {
  switch (order.on) {
    case 'anything':
      return { moves: () => [], long: true };
    case 'rule': {
      const focus = PROVOKES[order.rule][order.way];
      if (focus === undefined) throw new RangeError(`${order.rule} is not provoked in way ${order.way}`);
      return focus;
    }
    case 'faults':
      // What ends may have ended before the other begins.
      return { moves: (deeds) => order.faults.map(deeds.lastingFault) };
    default:
      return order satisfies never;
  }
}

/** One of these kinds, in any part that can have it; anything where no part can. */
function faultOf(deeds: Deeds, kinds: readonly string[]): fc.Arbitrary<Move> {
  const found = deeds.possible.filter(({ kind }) => kinds.includes(kind));
  return found.length === 0 ? deeds.any : fc.constantFrom(...found).chain(deeds.fault);
}
