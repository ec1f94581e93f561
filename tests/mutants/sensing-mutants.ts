/** What a controller may make of its sensors, and should not. */
import type { Told } from '../../sim/controllers/index.ts';
import { always, DEAF, INCOMPLETE, type Mutant, UNNOTICED } from './mutant.ts';
import { type Change, clean, hears, inMitigation, policy } from './variant.ts';

const SETPOINT = 20;

const without = (id: string): Change => ({
  plan: (plan) => ({ ...plan, sensors: plan.sensors.filter((sensor) => sensor.id !== id) }),
});

const saysGas = (told: Told): boolean => told.state === 'gas' || told.closed === false;

/** One sensor that says gas, alone, is heard as clean. */
const believesTwo: Change = {
  sees: (cycle) => {
    const told = Object.entries(cycle.sensors);
    if (told.filter(([, one]) => saysGas(one)).length !== 1) return cycle;
    const believed = told.map(([id, one]) => {
      if (!saysGas(one)) return [id, one] as const;
      return [id, one.closed === undefined ? clean(one, cycle) : { ...one, closed: true }] as const;
    });
    return { ...cycle, sensors: Object.fromEntries(believed) };
  },
};

/** Every number is the mean of all, and the states are left unread. */
const averages: Change = hears((told, { sensors }) => {
  const numbers = Object.values(sensors).flatMap(({ gasPercentLfl }) => gasPercentLfl ?? []);
  if (typeof told.gasPercentLfl !== 'number') return told;
  const gasPercentLfl = numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
  const gas = gasPercentLfl >= SETPOINT;
  return { ...told, gasPercentLfl, state: gas ? 'gas' : 'measuring', gasBit: gas };
});

/** An answer stands until the next one, and looks alive. */
function remembersAnswers(): Change {
  const last = new Map<string, Told>();
  return hears((told, { t }, id) => {
    if (told.answered) last.set(id, told);
    return told.answered ? told : { ...(last.get(id) ?? told), counter: t };
  });
}

function believesFirstSerials(): Change {
  const first = new Map<string, string>();
  return hears((told, _, id) => {
    if (typeof told.serial !== 'string') return told;
    const serial = first.get(id) ?? told.serial;
    first.set(id, serial);
    return { ...told, serial };
  });
}

const DEAFNESS: readonly Mutant[] = [
  {
    name: 'has never heard of coil-a',
    drill: 'test-gas-coil-a',
    breaks: 'respond',
    also: DEAF,
    make: always(without('coil-a')),
  },
  {
    name: 'has never heard of coil-b',
    drill: 'test-gas-coil-b',
    breaks: 'respond',
    also: DEAF,
    make: always(without('coil-b')),
  },
  {
    name: 'has never heard of the grille',
    drill: 'test-gas-grille',
    breaks: 'respond',
    also: DEAF,
    make: always(without('grille')),
  },
  {
    name: 'believes gas only of two sensors at once',
    drill: 'test-gas-coil-b',
    breaks: 'respond',
    also: DEAF,
    make: always(believesTwo),
  },
  {
    name: 'believes a contact only with another sensor',
    drill: 'test-gas-grille',
    breaks: 'respond',
    also: DEAF,
    make: always(believesTwo),
  },
  {
    name: 'averages its numbers',
    drill: 'test-gas-coil-a',
    breaks: 'respond',
    also: DEAF,
    make: always(averages),
  },
];

const HALF_MEASURES: readonly Mutant[] = [
  {
    name: 'stops its compressors 20 s after the gas',
    drill: 'short-leak',
    breaks: 'respond',
    make: () => () =>
      inMitigation((commands, sinceMs, { calls }) =>
        sinceMs < 20_000 ? { compressors: { ...commands.compressors, a: calls.cooling } } : {},
      ),
  },
  {
    name: 'lets compressor b run in gas',
    drill: 'test-gas-coil-a',
    breaks: 'respond',
    also: INCOMPLETE,
    make: () => () =>
      inMitigation((commands, _, { calls }) => ({
        compressors: { ...commands.compressors, b: calls.cooling },
      })),
  },
  {
    name: 'lets the heat on in gas',
    drill: 'test-gas-coil-b',
    breaks: 'respond',
    also: INCOMPLETE,
    make: () => () => inMitigation((_, __, { calls }) => ({ heat: calls.heating })),
  },
  {
    name: 'opens no damper in gas',
    drill: 'test-gas-grille',
    breaks: 'respond',
    also: INCOMPLETE,
    make: () => () => inMitigation(() => ({ damper: false })),
  },
  {
    name: 'runs the fan only where one is called for',
    drill: 'gas-lingers',
    breaks: 'respond',
    also: INCOMPLETE,
    make: () => () =>
      inMitigation((_, __, { calls }) => ({ fan: calls.cooling || calls.heating || calls.fan })),
  },
];

const SILENCE: readonly Mutant[] = [
  {
    name: 'gives a silent sensor a minute',
    drill: 'one-falls-silent',
    breaks: 'silent',
    also: UNNOTICED,
    make: always(policy({ silentAfterMs: 60_000 })),
  },
  {
    name: 'believes the last answer of a silent sensor',
    drill: 'silent-past-the-hold',
    breaks: 'silent',
    also: UNNOTICED,
    make: () => remembersAnswers,
  },
  {
    name: 'takes warming up for measuring',
    drill: 'sensor-loses-supply',
    breaks: 'hold',
    // The silence lasts until the self-test has passed, and so must its lamp.
    also: UNNOTICED,
    make: always(hears((told, cycle) => (told.state === 'warming-up' ? clean(told, cycle) : told))),
  },
];

const UNSOUND: readonly Mutant[] = [
  {
    name: 'takes failure for clean air',
    drill: 'failed-past-the-hold',
    breaks: 'self-failed',
    // One that has failed gives no number either.
    also: ['implausible', ...UNNOTICED],
    make: always(hears((told, cycle) => (told.state === 'failed' ? clean(told, cycle) : told))),
  },
  {
    name: 'shows a failure and does nothing',
    drill: 'reports-failure',
    breaks: 'self-failed',
    also: ['implausible'],
    make: always({
      ...hears((told, cycle) => (told.state === 'failed' ? clean(told, cycle) : told)),
      commands: (commands, { sensors }) => ({
        ...commands,
        trouble: Object.values(sensors).some(({ state }) => state === 'failed'),
      }),
    }),
  },
  {
    name: 'does not look at the counter',
    drill: 'counter-at-rest',
    breaks: 'implausible',
    also: UNNOTICED,
    make: always(hears((told, { t }) => ({ ...told, counter: t }))),
  },
  {
    name: 'takes no number for zero',
    drill: 'no-number',
    breaks: 'implausible',
    also: UNNOTICED,
    make: always(hears((told) => ({ ...told, gasPercentLfl: told.gasPercentLfl ?? 0 }))),
  },
  {
    name: 'reads the state and not the number',
    drill: 'state-against-number',
    breaks: 'implausible',
    also: UNNOTICED,
    make: always(hears((told) => (told.state === 'measuring' ? { ...told, gasPercentLfl: 0 } : told))),
  },
  {
    name: 'does not look at serials',
    drill: 'exchanged-sensors',
    breaks: 'identity',
    also: UNNOTICED,
    make: always(hears((told) => ({ ...told, serial: null }))),
  },
  {
    name: 'looks at a serial once',
    drill: 'exchanged-and-gas',
    breaks: 'identity',
    // It hears the gas, and lets go after it while both are still strangers.
    also: ['recheck', ...UNNOTICED],
    make: () => believesFirstSerials,
  },
];

export const SENSING_MUTANTS: readonly Mutant[] = [...DEAFNESS, ...HALF_MEASURES, ...SILENCE, ...UNSOUND];
