/** What a person reads who wrote a step that is none: one sentence, with the place and what to write. */
import { describe, expect, test } from 'vitest';
import { readStep } from '../../../sim/drill/step.ts';
import { FAULT_KINDS, FAULTS, type FaultTarget } from '../../../sim/faults/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { demoRig } from '../../helpers/demo.ts';

const RIG = demoRig();

function refusalOf(written: unknown, rig: Rig = RIG): string {
  const outcome = readStep(written, rig);
  return outcome.ok ? 'taken' : outcome.problem;
}

type Refusals = readonly (readonly [unknown, string])[];

const RELEASE =
  'takes off, { at, rate, lasts }, { at, kg, emptiesIn }, { at, kg, halfLife } or { at, hole, pressure }';
const LEVEL =
  'takes an amount with its unit, such as 40 %LFL (%LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3), or off';
const ONE_OF = 'a step takes exactly one of release, testGas, fault, mend, call, power, serviceReset, fire';
const POWER = 'takes cut: 10 s, cut: stays, or restored: true, one of them';

const WHOLE: Refusals = [
  [{}, ONE_OF],
  [{ fire: 'on', serviceReset: {} }, ONE_OF],
  [{ relase: {} }, '"relase" is not known here; did you mean "release"?'],
  [null, 'takes a map of keys and values'],
  ['fire', 'takes a map of keys and values'],
  [undefined, 'is missing; it takes a map of keys and values'],
];

const GAS: Refusals = [
  [{ release: 'on' }, `release: ${RELEASE}`],
  [{ release: 'maybe' }, `release: ${RELEASE}`],
  [{ release: 10 }, `release: ${RELEASE}`],
  [
    { release: { at: 'cabinet', rate: 10 } },
    'release.rate: 10 needs its unit, such as "10 g/s" (units it takes: g/s, g/min, kg/s, kg/h, kg/min, lb/min, lb/h)',
  ],
  [{ release: { at: 'cabinet', rate: '0 g/s' } }, 'release.rate: must be more than zero'],
  [{ release: { at: 'coil-a', rate: '1 g/s' } }, 'release.at: takes one of cabinet, room-low, room-high'],
  [{ release: { rate: '1 g/s' } }, 'release.at: is missing; it takes one of cabinet, room-low, room-high'],
  [
    { release: { at: 'cabinet', rate: '1 g/s', emptiesIn: '4 min' } },
    'release: "emptiesIn" is not known here; it takes at, rate, lasts, pumpDown',
  ],
  [
    { release: { at: 'cabinet', kg: '4.2 kg' } },
    'release.emptiesIn: is missing; it takes a number and a unit, such as "1 s" (units it takes: s, ms, min, h, days, years)',
  ],
  [{ release: { at: 'cabinet', kg: 'all', emptiesIn: '4 min' } }, 'release.kg: takes a mass, such as 4.2 kg'],
  [{ release: { at: 'cabinet', kg: '4 kg', halfLife: '0 s' } }, 'release.halfLife: must be more than zero'],
  [
    { release: { at: 'cabinet', hole: '1 mm' } },
    'release.pressure: is missing; it takes a number and a unit, such as "1 bar" (units it takes: bar, kPa, MPa, psi)',
  ],
  [
    { release: { at: 'cabinet', hole: 1, pressure: '17 bar' } },
    'release.hole: 1 needs its unit, such as "1 m" (units it takes: m, cm, mm, ft, in)',
  ],
  [
    { release: { at: 'cabinet', hole: '1 mm', pressure: '1.7 bar' } },
    'release.pressure: takes 1.8 bar or more, absolute; below that vapour leaves a hole slower than sound, which is not modelled',
  ],
  [
    { release: { at: 'cabinet', rate: '1 g/s', pumpDown: { after: '60 s', leaves: 10 } } },
    'release.pumpDown.leaves: takes a share of the rate, a number from 0 to 1',
  ],
  [
    { release: { at: 'cabinet', rate: '1 g/s', pumpDown: { leaves: 0.1 } } },
    'release.pumpDown.after: is missing; it takes a number and a unit, such as "1 s" (units it takes: s, ms, min, h, days, years)',
  ],
  [{ testGas: { at: 'coil-a', level: 40 } }, `testGas.level: ${LEVEL}`],
  [{ testGas: { at: 'coil-a', level: 'on' } }, `testGas.level: ${LEVEL}`],
  [{ testGas: { at: 'coil-a' } }, `testGas.level: is missing; it ${LEVEL}`],
  [{ testGas: { level: '40 %LFL' } }, 'testGas.at: is missing; it takes the name of a sensor'],
  [
    { testGas: { in: 'coil-a', level: '40 %LFL' } },
    'testGas: "in" is not known here; it takes at, level, lasts',
  ],
  [{ testGas: { at: 'coil-x', level: 'off' } }, 'testGas.at: there is no "coil-x"; did you mean "coil-a"?'],
  [
    { testGas: { at: 'coil-a', level: '800 %LFL' } },
    'testGas.level: takes less; pure R-32 vapour is 701 %LFL',
  ],
  [
    { testGas: { at: 'coil-a', level: '40 %LFL', last: '3 s' } },
    'testGas: "last" is not known here; did you mean "lasts"?',
  ],
];

const FAULT: Refusals = [
  [{ fault: 'silent' }, 'fault: takes a map of keys and values'],
  [{ fault: { kind: 'silent' } }, 'fault.in: is missing; it takes the name of what has it'],
  [{ fault: { in: 'coil-a' } }, 'fault.kind: is missing; it takes a kind of fault, such as silent'],
  [{ fault: { in: 'coil-x', kind: 'silent' } }, 'fault.in: there is no "coil-x"; did you mean "coil-a"?'],
  [{ fault: { in: 'coil-a', kind: 'silnt' } }, 'fault.kind: "silnt" is not a fault; did you mean "silent"?'],
  [
    { fault: { in: 'grille', kind: 'silent' } },
    'fault.kind: silent is a fault of a Modbus sensor, not of a contact sensor',
  ],
  [
    { fault: { in: 'coil-a', kind: 'output-stuck' } },
    'fault.kind: output-stuck is a fault of an output, not of a Modbus sensor',
  ],
  [
    { fault: { in: 'coil-a', kind: 'silent', last: '2 min' } },
    'fault: "last" is not known here; did you mean "lasts"?',
  ],
  [
    { fault: { in: 'coil-a', kind: 'silent', probability: 2 } },
    'fault.probability: takes a number from 0 to 1',
  ],
  [
    { fault: { in: 'coil-a', kind: 'silent', probability: '1' } },
    'fault.probability: takes a number from 0 to 1',
  ],
  [
    { fault: { in: 'coil-a', kind: 'offset', by: 5 } },
    'fault.by: 5 needs its unit, such as "5 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3)',
  ],
  [
    { fault: { in: 'coil-a', kind: 'noisy', by: '-5 %LFL' } },
    'fault.by: takes zero or more; a concentration cannot be negative',
  ],
  [
    { fault: { in: 'coil-a', kind: 'gain', factor: 0 } },
    'fault.factor: takes a bare number above zero, such as 0.5',
  ],
  [
    { fault: { in: 'coil-a', kind: 'gain' } },
    'fault.factor: is missing; it takes a bare number above zero, such as 0.5',
  ],
  [{ fault: { in: 'coil-a', kind: 'self-failed', code: 0 } }, 'fault.code: takes a whole number, 1 to 65535'],
  [
    { fault: { in: 'coil-a', kind: 'misplaced', at: 'roof' } },
    'fault.at: takes one of cabinet, room-low, room-high',
  ],
  [{ fault: { in: 'output.fan', kind: 'output-stuck', reads: 'perhaps' } }, 'fault.reads: takes on or off'],
  [
    { fault: { in: 'coil-a', kind: 'swapped' } },
    'fault.with: is missing; it takes the name of another Modbus sensor',
  ],
  [
    { fault: { in: 'coil-a', kind: 'swapped', with: 'grille' } },
    'fault.with: takes another Modbus sensor of its line: coil-b',
  ],
];

const OTHERS: Refusals = [
  [{ mend: {} }, 'mend.in: is missing; it takes the name of what is to be mended'],
  [{ mend: { in: 'coil-x' } }, 'mend.in: there is no "coil-x"; did you mean "coil-a"?'],
  [{ mend: { in: 'coil-a', kind: 'stuk' } }, 'mend.kind: "stuk" is not a fault; did you mean "stuck"?'],
  [{ call: {} }, 'call: takes cooling, heating or fan, each on or off'],
  [{ call: { col: 'on' } }, 'call: "col" is not known here; it takes cooling, heating, fan'],
  [{ call: { cooling: 1 } }, 'call.cooling: takes on or off'],
  [{ power: { to: 'coil-a' } }, `power: ${POWER}`],
  [{ power: { to: 'coil-a', cut: '1 s', restored: true } }, `power: ${POWER}`],
  [{ power: { to: 'coil-a', cut: 10 } }, 'power.cut: takes a time, such as 10 s, or stays'],
  [
    { power: { to: 'coil-a', restored: 'off' } },
    'power.restored: takes true; to cut it write cut: 10 s or cut: stays',
  ],
  [
    { power: { to: 'fan', cut: '1 s' } },
    'power.to: there is no "fan"; it takes controller, rig, coil-a, coil-b, grille',
  ],
  [{ power: { cut: '1 s' } }, 'power.to: is missing; it takes the name of controller, rig or a sensor'],
  [{ serviceReset: null }, 'serviceReset: takes {}'],
  [{ serviceReset: { now: true } }, 'serviceReset: "now" is not known here; it takes {}'],
  [{ fire: 'hot' }, 'fire: takes on or off'],
];

describe('a step is refused', () => {
  test.each([...WHOLE, ...GAS, ...FAULT, ...OTHERS])('%j: %s', (written, refusal) => {
    expect(refusalOf(written)).toBe(refusal);
  });

  test('that swaps a sensor with one of another line, or with none', () => {
    const apart: Rig = {
      ...RIG,
      sensors: RIG.sensors.map((one) => (one.id === 'coil-b' ? { ...one, line: 'annex' } : one)),
    };
    const swap = { fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b' } };
    expect(refusalOf(swap)).toBe('taken');
    expect(refusalOf(swap, apart)).toBe('fault.with: takes another Modbus sensor of its line: there is none');
  });
});

describe('every fault of the table', () => {
  /** What each kind cannot do without. */
  const NEEDED: Readonly<Record<string, object>> = {
    late: { by: '200 ms' },
    offset: { by: '5 %LFL' },
    gain: { factor: 0.5 },
    slow: { t90: '60 s' },
    noisy: { by: '1 %LFL' },
    'other-gas': { by: '8 %LFL' },
    misplaced: { at: 'room-high' },
    swapped: { with: 'coil-b' },
  };
  const AN_EXAMPLE: Readonly<Record<FaultTarget, string>> = {
    sensor: 'coil-a',
    contact: 'grille',
    fan: 'fan',
    airflow: 'airflow',
    compressor: 'compressor.b',
    output: 'output.compressor.a',
    fieldIo: 'fieldIo',
  };
  const targetsOf = (kind: (typeof FAULT_KINDS)[number]): readonly FaultTarget[] => FAULTS[kind].targets;

  test.each(FAULT_KINDS)('%s can be put into each of its targets, and into nothing else', (kind) => {
    for (const [target, name] of Object.entries(AN_EXAMPLE) as [FaultTarget, string][]) {
      const refusal = refusalOf({ fault: { in: name, kind, ...NEEDED[kind] } });
      if (targetsOf(kind).includes(target)) expect(refusal, name).toBe('taken');
      else
        expect(refusal, name).toMatch(new RegExp(`^fault\\.kind: ${kind} is a fault of .+, not of .+$`, 'u'));
    }
  });

  test.each(Object.keys(NEEDED))('%s cannot do without what it needs', (kind) => {
    expect(refusalOf({ fault: { in: 'coil-a', kind } })).toMatch(/^fault\.\w+: is missing; it takes /u);
  });
});

test('a switch is written in any of its words', () => {
  for (const [word, on] of [
    ['on', true],
    ['yes', true],
    ['true', true],
    [true, true],
    ['off', false],
    ['no', false],
  ])
    expect(readStep({ fire: word }, RIG), String(word)).toEqual({ ok: true, step: { kind: 'fire', on } });
  for (const word of ['on', 'yes', 'true', true])
    expect(refusalOf({ power: { to: 'rig', restored: word } }), String(word)).toBe('taken');
  for (const word of ['off', 'no', 'false', false])
    expect(readStep({ release: word }, RIG), String(word)).toEqual({
      ok: true,
      step: { kind: 'endRelease' },
    });
});
