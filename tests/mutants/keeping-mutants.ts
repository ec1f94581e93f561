/** How a controller may lose a mitigation or a lock-out, and should not. */
import { always, type Mutant } from './mutant.ts';
import { type Change, hears, inMitigation, keeps, policy, serving, type Variant } from './variant.ts';

const MINUTE = 60_000;

/** Only what was ever alarmed at is held after. */
const holdsAfterGasOnly = keeps(({ kept }) => (kept.counted ? {} : { mitigating: false }));

/** Counts the hold from its own first cycle in mitigation. */
const holdsFromOnset: Variant = () => {
  let beganMs: number | null = null;
  return {
    recalls(memory, { t }) {
      beganMs = memory.kept.mitigating ? (beganMs ?? t) : null;
      return memory.clearSinceMs === null || beganMs === null ? memory : { ...memory, clearSinceMs: beganMs };
    },
  };
};

/** Lets the calls have everything while `when` says so, by the time since mitigation began. */
const servesWhile =
  (when: (sinceMs: number) => boolean): (() => Variant) =>
  () =>
  () =>
    inMitigation((_, sinceMs, cycle, memory) => (when(sinceMs) ? serving(cycle, memory) : {}));

const LEAVING: readonly Mutant[] = [
  {
    name: 'mitigates for two minutes and no more',
    drill: 'grille-wire-broken',
    breaks: 'stay-off',
    make: servesWhile((sinceMs) => sinceMs >= 2 * MINUTE),
  },
  {
    name: 'tries its heat while gas stands',
    drill: 'grille-wire-broken',
    breaks: 'stay-off',
    make: () => () =>
      inMitigation((_, sinceMs) => ({ heat: sinceMs >= MINUTE && sinceMs < MINUTE + 30_000 })),
  },
  {
    name: 'rests its fan for a minute',
    drill: 'silent-past-the-hold',
    breaks: 'stay-off',
    make: () => () => inMitigation((_, sinceMs) => ({ fan: sinceMs < 2 * MINUTE || sinceMs >= 3 * MINUTE })),
  },
  {
    name: 'counts minutes and does not look again at gas',
    drill: 'gas-lingers',
    breaks: 'recheck',
    make: servesWhile((sinceMs) => sinceMs >= 5 * MINUTE),
  },
  {
    name: 'counts minutes and does not look again at silence',
    drill: 'silent-past-the-hold',
    breaks: 'recheck',
    make: servesWhile((sinceMs) => sinceMs >= 5 * MINUTE),
  },
  {
    name: 'counts minutes and does not look again at a failure',
    drill: 'failed-past-the-hold',
    breaks: 'recheck',
    make: servesWhile((sinceMs) => sinceMs >= 5 * MINUTE),
  },
  {
    name: 'looks again at numbers and not at contacts',
    drill: 'grille-wire-broken',
    breaks: 'recheck',
    make: servesWhile((sinceMs) => sinceMs >= 5 * MINUTE),
  },
  {
    name: 'holds for four minutes',
    drill: 'short-leak',
    breaks: 'hold',
    make: always(policy({ holdMs: 4 * MINUTE })),
  },
  {
    name: 'does not hold at all',
    drill: 'test-gas-coil-b',
    breaks: 'hold',
    make: always(policy({ holdMs: 0 })),
  },
  {
    name: 'holds for one poll too short',
    drill: 'exchanged-sensors',
    breaks: 'hold',
    make: always(policy({ holdMs: 5 * MINUTE - 1000 })),
  },
  {
    name: 'counts the hold from the onset',
    drill: 'one-falls-silent',
    breaks: 'hold',
    make: () => holdsFromOnset,
  },
  {
    name: 'holds after gas only',
    drill: 'counter-at-rest',
    breaks: 'hold',
    make: always(holdsAfterGasOnly),
  },
  {
    name: 'shuts its dampers in the hold',
    drill: 'test-gas-grille',
    breaks: 'hold',
    make: () => () => inMitigation(({ alarm, trouble }) => ({ damper: alarm || trouble })),
  },
  {
    name: 'rests its fan in the hold',
    drill: 'state-against-number',
    breaks: 'hold',
    // It goes on counting, as if there were air.
    make: () => () => ({
      ...inMitigation(({ alarm, trouble }) => ({ fan: alarm || trouble })),
      sees: (cycle) => ({ ...cycle, airflowProven: true }),
    }),
  },
];

/** Takes the gas to have ended with its own power, and the time without as time held. */
function countsTheCut(): Variant {
  let lastMs: number | null = null;
  return () => {
    const beforeMs = lastMs;
    return {
      recalls(memory, { t }) {
        lastMs = t;
        const since = memory.clearSinceMs === null ? null : (beforeMs ?? memory.clearSinceMs);
        return { ...memory, clearSinceMs: since };
      },
    };
  };
}

const forgets: Change = { finds: () => null };

const CUTS: readonly Mutant[] = [
  { name: 'forgets its hold at a cut', drill: 'cut-in-the-hold', breaks: 'power-cut', make: always(forgets) },
  { name: 'forgets the gas at a cut', drill: 'cut-in-the-gas', breaks: 'power-cut', make: always(forgets) },
  {
    name: 'forgets it with the building',
    drill: 'dark-building',
    breaks: 'power-cut',
    make: always(forgets),
  },
  {
    name: 'counts the cut as time held',
    drill: 'cut-in-the-gas',
    breaks: 'power-cut',
    make: countsTheCut,
  },
  {
    name: 'forgets a lock-out at a cut',
    drill: 'locked-out-in-the-dark',
    breaks: 'power-cut',
    make: always({ finds: (kept) => (kept === null ? null : { ...kept, lockedOut: false, tripsAtMs: [] }) }),
  },
];

/** Any press unlocks, whatever stands. */
const unlocksAtAnyPress = keeps((_, { serviceReset }) =>
  serviceReset ? { lockedOut: false, tripsAtMs: [] } : {},
);

const unlocksByItself: Variant = () => {
  let lockedMs: number | null = null;
  return keeps(({ kept }, { t }) => {
    lockedMs = kept.lockedOut ? (lockedMs ?? t) : null;
    return lockedMs !== null && t - lockedMs > 7 * MINUTE ? { lockedOut: false, tripsAtMs: [] } : {};
  });
};

const LOCKS: readonly Mutant[] = [
  {
    name: 'never locks out',
    drill: 'locked-out',
    breaks: 'latch',
    make: always(policy({ latchTrips: null })),
  },
  { name: 'unlocks by itself', drill: 'locked-out', breaks: 'latch', make: () => unlocksByItself },
  { name: 'unlocks in gas', drill: 'locked-out', breaks: 'latch', make: always(unlocksAtAnyPress) },
  {
    name: 'takes a taped button for a press',
    drill: 'taped-button',
    breaks: 'latch',
    make: always({ recalls: (memory) => ({ ...memory, resetWasPressed: false }) }),
  },
  {
    name: 'locks out at the fourth gas',
    drill: 'third-trip',
    breaks: 'latch',
    make: always(policy({ latchTrips: 4 })),
  },
  {
    name: 'forgets gas after ten minutes',
    drill: 'third-trip',
    breaks: 'latch',
    make: always(policy({ latchWithinMs: 10 * MINUTE })),
  },
  {
    name: 'does not count gas at a contact',
    drill: 'third-trip',
    breaks: 'latch',
    // It mitigates and alarms as ever, but for a contact that does not answer.
    make: always({
      ...hears((told) => (told.closed === false ? { answered: false } : told), 'grille'),
      commands: (given, { sensors }) => ({
        ...given,
        alarm: given.alarm || sensors['grille']?.closed === false,
      }),
    }),
  },
];

export const KEEPING_MUTANTS: readonly Mutant[] = [...LEAVING, ...CUTS, ...LOCKS];
