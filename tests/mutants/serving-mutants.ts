/** How a controller may serve its calls, light its lamps and meet a fire, and should not. */
import type { Commands } from '../../sim/controllers/index.ts';
import { always, type Mutant, UNNOTICED } from './mutant.ts';
import { type Change, clean, hears, inMitigation, policy, type Variant } from './variant.ts';

const MINUTE = 60_000;
const BOTH_OFF = { a: false, b: false };

const commands = (change: NonNullable<Change['commands']>): Change => ({ commands: change });
const airAlways: Change = { sees: (cycle) => ({ ...cycle, airflowProven: true }) };
const runs = ({ heat, compressors }: Commands): boolean => heat || Object.values(compressors).some(Boolean);

const STARTING: readonly Mutant[] = [
  {
    name: 'waits for no self-test',
    drill: 'slow-warm-up',
    breaks: 'start',
    make: always(hears((told, cycle) => (told.state === 'warming-up' ? clean(told, cycle) : told))),
  },
  {
    name: 'waits for the first self-test only',
    drill: 'slow-warm-up',
    breaks: 'start',
    make: always(
      hears((told, cycle) => {
        const one = Object.values(cycle.sensors).some(({ selfTestPassed }) => selfTestPassed === true);
        return one && told.state === 'warming-up' ? clean(told, cycle) : told;
      }),
    ),
  },
  {
    name: 'gives a self-test half a minute',
    drill: 'slow-warm-up',
    breaks: 'start',
    make: always(
      hears((told, cycle) => (cycle.t > 30_000 && told.state === 'warming-up' ? clean(told, cycle) : told)),
    ),
  },
  {
    name: 'heats before any self-test',
    drill: 'airflow-switch-stuck',
    breaks: 'start',
    make: always(
      commands((given, { t, calls }) => ({ ...given, heat: t < 4000 ? calls.heating : given.heat })),
    ),
  },
];

const AIR: readonly Mutant[] = [
  {
    name: 'takes the fan’s command for air',
    drill: 'fan-dead',
    breaks: 'prove-fan',
    also: UNNOTICED,
    make: always(airAlways),
  },
  {
    name: 'proves air only before it starts',
    drill: 'fan-dead',
    breaks: 'prove-fan',
    also: UNNOTICED,
    make: always({
      recalls: (memory) =>
        memory.last !== null && runs(memory.last) ? { ...memory, airMissingSinceMs: null } : memory,
    }),
  },
  {
    name: 'gives the fan five minutes',
    drill: 'fan-dead',
    breaks: 'prove-fan',
    also: UNNOTICED,
    make: always(policy({ fanProofWithinMs: 5 * MINUTE })),
  },
  {
    name: 'heats without air',
    drill: 'airflow-switch-stuck',
    breaks: 'prove-fan',
    make: always(commands((given, { t, calls }) => ({ ...given, heat: t > 5000 && calls.heating }))),
  },
  {
    name: 'tells nobody that air is missing',
    drill: 'airflow-switch-stuck',
    breaks: 'announce',
    make: always(commands((given) => ({ ...given, trouble: false }))),
  },
];

const COMING_AND_GOING: readonly Mutant[] = [
  {
    name: 'starts a compressor at any time',
    drill: 'flickering-call',
    breaks: 'short-cycle',
    make: always(policy({ compressorMinOffMs: 0 })),
  },
  {
    name: 'rests a compressor for two minutes',
    drill: 'flickering-call',
    breaks: 'short-cycle',
    make: always(policy({ compressorMinOffMs: 2 * MINUTE })),
  },
  {
    name: 'rests compressor a only',
    drill: 'flickering-call',
    breaks: 'short-cycle',
    make: always({
      recalls: (memory) => ({ ...memory, offSinceMs: { ...memory.offSinceMs, b: Number.NEGATIVE_INFINITY } }),
    }),
  },
  {
    name: 'comes back only when a person resets it',
    drill: 'test-gas-grille',
    breaks: 'resume',
    make: always(policy({ latchTrips: 1, latchWithinMs: MINUTE })),
  },
  {
    name: 'holds for twenty minutes',
    drill: 'test-gas-coil-a',
    breaks: 'resume',
    make: always(policy({ holdMs: 20 * MINUTE })),
  },
  {
    name: 'waits until the last trace of gas is gone',
    drill: 'short-leak',
    breaks: 'resume',
    make: always(policy({ clearBelowPercentLfl: 0.1 })),
  },
  {
    name: 'takes each lost answer for a failure',
    drill: 'lossy-wire',
    breaks: 'resume',
    make: always(hears((told) => (told.answered ? told : { ...told, answered: true, state: 'failed' }))),
  },
  {
    name: 'reads the grille the wrong way round',
    drill: 'ordinary-day',
    breaks: 'resume',
    make: always(hears((told) => ({ ...told, closed: told.closed !== true }), 'grille')),
  },
  {
    name: 'never heats again after gas',
    drill: 'test-gas-coil-b',
    breaks: 'resume',
    make: () => () => {
      let smelled = false;
      return commands((given) => {
        smelled ||= given.alarm;
        return { ...given, heat: given.heat && !smelled };
      });
    },
  },
  {
    name: 'stops at half the setpoint',
    drill: 'ordinary-day',
    breaks: 'no-nuisance',
    make: always(policy({ setpointPercentLfl: 10, clearBelowPercentLfl: 9 })),
  },
  {
    name: 'rests its compressors after six minutes of work',
    drill: 'ordinary-day',
    breaks: 'no-nuisance',
    make: always(
      commands((given, { t }) =>
        t > 6 * MINUTE && t < 10 * MINUTE ? { ...given, compressors: BOTH_OFF } : given,
      ),
    ),
  },
  {
    name: 'stops heating for a moment by its own clock',
    drill: 'airflow-switch-stuck',
    breaks: 'no-nuisance',
    make: always(
      commands((given, { t }) => (t > 10 * MINUTE && t < 10.5 * MINUTE ? { ...given, heat: false } : given)),
    ),
  },
];

const alarmsBriefly: Variant = () =>
  inMitigation(({ alarm }, sinceMs) => ({ alarm: alarm && sinceMs < 30_000 }));

const LAMPS: readonly Mutant[] = [
  {
    name: 'shows no alarm at a contact’s gas',
    drill: 'test-gas-grille',
    breaks: 'announce',
    make: always(commands((given) => ({ ...given, alarm: false }))),
  },
  {
    name: 'ends its alarm after half a minute',
    drill: 'test-gas-coil-a',
    breaks: 'announce',
    make: () => alarmsBriefly,
  },
  {
    name: 'shows gas as trouble',
    drill: 'state-against-number',
    breaks: 'announce',
    make: always(commands((given) => ({ ...given, alarm: false, trouble: given.alarm }))),
  },
  {
    name: 'shows trouble as alarm',
    drill: 'one-falls-silent',
    breaks: 'announce',
    make: always(commands((given) => ({ ...given, alarm: given.alarm || given.trouble, trouble: false }))),
  },
  {
    name: 'silences its alarm when the button is pressed',
    drill: 'locked-out',
    breaks: 'announce',
    make: () => () => {
      let silenced = false;
      return commands((given, { serviceReset }) => {
        silenced = given.alarm && (silenced || serviceReset);
        return { ...given, alarm: given.alarm && !silenced };
      });
    },
  },
];

const FIRES: readonly Mutant[] = [
  {
    name: 'has no fire input',
    drill: 'fire',
    breaks: 'fire',
    make: always({ sees: (cycle) => ({ ...cycle, fire: false }) }),
  },
  {
    name: 'lets the fan run in a fire',
    drill: 'fire',
    breaks: 'fire',
    make: always(commands((given, { fire }) => ({ ...given, fan: given.fan || fire }))),
  },
  {
    name: 'heats in a fire',
    drill: 'fire',
    breaks: 'fire',
    make: always(
      commands((given, { fire, calls }) => ({ ...given, heat: given.heat || (fire && calls.heating) })),
    ),
  },
  {
    name: 'puts gas before fire',
    drill: 'fire-and-gas',
    breaks: 'fire',
    make: () => () => inMitigation(() => ({ fan: true, damper: true })),
  },
  {
    name: 'believes a fire after ten seconds',
    drill: 'fire-and-gas',
    breaks: 'fire',
    make: () => () => {
      let sinceMs: number | null = null;
      return {
        sees(cycle) {
          sinceMs = cycle.fire ? (sinceMs ?? cycle.t) : null;
          return { ...cycle, fire: sinceMs !== null && cycle.t - sinceMs >= 10_000 };
        },
      };
    },
  },
];

export const SERVING_MUTANTS: readonly Mutant[] = [
  ...STARTING,
  ...AIR,
  ...COMING_AND_GOING,
  ...LAMPS,
  ...FIRES,
];
