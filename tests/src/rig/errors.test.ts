import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { loadRig } from '../../../src/rig/index.ts';
import { load, SMALLEST } from './rig-text.ts';

/** What to write, and the one sentence it is refused with: "LINE:COLUMN: PATH: sentence". */
type Refusals = readonly (readonly [string, string])[];

const A_REFRIGERANT = 'takes a name, such as R-32, or { name, lflFrom }, or { name, lfl, molarMass, source }';
const A_NAME = 'takes a name of letters, digits and dashes, a letter first';

describe('what a rig must say', () => {
  /** Without the lines of a key: its own, and those indented under it. */
  const without = (key: string): string => SMALLEST.replace(new RegExp(`^${key}:.*\n(?: .*\n)*`, 'mu'), '');
  test.each([
    ['rig', '1:1: rig: is missing; it takes 1, a bare number: the version of the file format'],
    ['refrigerant', `1:1: refrigerant: is missing; it ${A_REFRIGERANT}`],
    [
      'charge',
      '1:1: charge: is missing; it takes a number and a unit, such as "1 kg" (units it takes: kg, g, lb, oz)',
    ],
    ['room', '1:1: room: is missing; it takes a map of keys and values'],
    [
      'sensors',
      '1:1: sensors: is missing; it takes a list, such as [{ id: coil-a, at: cabinet, unitId: 11 }]',
    ],
  ])('%s', (key, refusal) => {
    expect(load(without(key)).problems).toEqual([refusal]);
  });

  test('is told all at once', () => {
    expect(load('name: empty\n').problems).toHaveLength(5);
  });
});

describe('a setting that is none', () => {
  const refusals: Refusals = [
    ['polcy: { hold: 5 min }', '7:1: "polcy" is not known here; did you mean "policy"?'],
    ['policy: { setpont: 20 %LFL }', '7:11: policy: "setpont" is not known here; did you mean "setpoint"?'],
    ['policy: { hold: 0 s }', '7:17: policy.hold: takes 1 ms or more'],
    ['policy: { compressorMinOff: -1 s }', '7:29: policy.compressorMinOff: cannot be negative'],
    ['policy: { latchAfter: 3 }', '7:23: policy.latchAfter: takes off, or { trips: 3, within: 24 h }'],
    ['policy: { latchAfter: on }', '7:23: policy.latchAfter: takes off, or { trips: 3, within: 24 h }'],
    [
      'policy: { latchAfter: { trips: 0, within: 1 h } }',
      '7:32: policy.latchAfter.trips: takes a whole number of trips, 1 to 1000',
    ],
    ['heat: maybe', '7:7: heat: takes on or off'],
    ['heat: 1', '7:7: heat: takes on or off'],
    ['circuits: []', '7:11: circuits: needs at least one circuit, such as [a]'],
    ['circuits: [1]', `7:12: circuits[0]: ${A_NAME}`],
    ['circuits: [a.b]', `7:12: circuits[0]: ${A_NAME}`],
    ['circuits: [a, b, a]', '7:18: circuits[2]: there is a circuit "a" already; choose another name'],
    ['circuits: [not]', '7:12: circuits[0]: "not" is a word of the bench; choose another name'],
    ['sharedAddresses: yes', '7:18: sharedAddresses: takes one of allowed, forbidden'],
    ['fieldIo: { unitId: 0 }', '7:20: fieldIo.unitId: takes a Modbus address, 1 to 247 (0 is broadcast)'],
  ];

  test.each(refusals)('%s', (setting, refusal) => {
    expect(load(`${SMALLEST}${setting}\n`).problems).toEqual([refusal]);
  });

  test('more circuits than the field I/O has outputs for', () => {
    const circuits = Array.from({ length: 17 }, (_, index) => `c${index}`).join(', ');
    expect(load(`${SMALLEST}circuits: [${circuits}]\n`).problems).toEqual([
      '7:11: circuits: takes at most 16 circuits',
    ]);
  });
});

describe('a refrigerant that is not in the table', () => {
  const with_ = (refrigerant: string): string => SMALLEST.replace('R-32', refrigerant);

  const ADVICE = '(nearest in spelling first; each is another fluid), or { name, lfl, molarMass, source }';

  test.each([
    ['R-33', 'R-32, R-452B, R-454A, R-454B, R-454C, R-455A, R-1234yf, R-1234ze(E)'],
    ['R-1243yf', 'R-1234yf, R-32, R-452B, R-454A, R-454B, R-454C, R-455A, R-1234ze(E)'],
  ])('%s lists those that are: another number is another fluid', (name, names) => {
    expect(load(with_(name)).problems).toEqual([
      `2:14: refrigerant: "${name}" is not in the table of A2L refrigerants; write one of ${names} ${ADVICE}`,
    ]);
  });

  test.each([
    ['R-410A', 'class A1, which does not burn'],
    ['R-290', 'class A3'],
    ['r717', 'class B2L'],
  ])('%s is known, and refused for its class', (name, why) => {
    const [problem] = load(with_(name)).problems;
    expect(problem).toMatch(
      new RegExp(`^2:14: refrigerant: "${name}" is of ${why}, and a rig takes class A2L`, 'u'),
    );
  });

  test('is told where its name stands, if a source is chosen for it', () => {
    const [problem] = load(with_('{ name: R-33, lflFrom: rd552 }')).problems;
    expect(problem).toMatch(/^2:22: refrigerant\.name: "R-33" is not in the table/u);
  });

  test('does not have an LFL of a source that is not there: those that are stand with value and source', () => {
    expect(load(with_('{ name: R-32, lflFrom: rd553 }')).problems).toEqual([
      '2:37: refrigerant.lflFrom: "rd553" is not a published LFL of R-32 here; write one of ' +
        'rd552 (0.307 kg/m3, RD 552/2019 IF-02 (seen)), ashrae34 (0.306 kg/m3, ANSI/ASHRAE 34 (memory)), ' +
        'ashrae34-vol (14.4 %vol, ANSI/ASHRAE 34 (memory))',
    ]);
  });

  const refusals: Refusals = [
    ['32', `2:14: refrigerant: ${A_REFRIGERANT}`],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarMass: 52 g/mol }',
      '2:14: refrigerant.source: is missing; it takes the standard or data sheet that the LFL is from',
    ],
    [
      '{ name: X, lfl: 20 %LFL, molarMass: 52 g/mol, source: me }',
      '2:30: refrigerant.lfl: cannot be given in %LFL; write kg/m3, g/m3, lb/1000ft3, %vol or ppm',
    ],
    [
      '{ name: X, lfl: 0 ppm, molarMass: 52 g/mol, source: me }',
      '2:30: refrigerant.lfl: takes more than zero and less than the pure vapour, 2.125 kg/m3 at 25 °C',
    ],
    [
      '{ name: X, lfl: 3 kg/m3, molarMass: 52 g/mol, source: me }',
      '2:30: refrigerant.lfl: takes more than zero and less than the pure vapour, 2.125 kg/m3 at 25 °C',
    ],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarmass: 52 g/mol, molarMass: 52 g/mol, source: me }',
      '2:41: refrigerant: "molarmass" is not known here; did you mean "molarMass"?',
    ],
    [
      '{ name: R-32 }',
      '2:14: refrigerant.lflFrom: is missing; it takes the short id of a published LFL, such as rd552',
    ],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarMass: 62.6 g/mol, source: me, composition: { R-32: 68.9 } }',
      '2:97: refrigerant.composition.R-32: takes a share of the mass, such as 68.9 %mass',
    ],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarMass: 62.6 g/mol, source: me, composition: { R-32: 68.9 %mass, R-1234yf: 30 %mass } }',
      '2:89: refrigerant.composition: adds up to 98.9 % of the mass; the parts must make 100 %, give or take 0.1',
    ],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarMass: 62.6 g/mol, source: me, composition: { R-23: 100 %mass } }',
      '2:89: refrigerant.composition: "R-23" is not a pure fluid of the table; write R-32, R-1234yf, R-1234ze(E), R-152a, R-290, R-717, R-125, R-744',
    ],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarMass: 87.5 g/mol, source: me, composition: { R-32: 68.9 %mass, R-1234yf: 31.1 %mass } }',
      '2:52: refrigerant.molarMass: 87.5 g/mol does not fit the composition, which makes 62.61 g/mol',
    ],
  ];

  test.each(refusals)('%s', (refrigerant, refusal) => {
    expect(load(with_(refrigerant)).problems).toEqual([refusal]);
  });
});

describe('levels that cannot work', () => {
  const refusals: Refusals = [
    ['clearBelow: 21 %LFL', '7:23: policy.clearBelow: 21 %LFL is above the setpoint; write 20 %LFL or less'],
    ['setpoint: 10 %LFL', '7:1: policy.clearBelow: 18 %LFL is above the setpoint; write 10 %LFL or less'],
    ['clearBelow: 0 %LFL', '7:23: policy.clearBelow: takes more than zero, or nothing would ever be clear'],
    ['setpoint: 800 %LFL', '7:21: policy.setpoint: can never be reached; 701 %LFL is pure R-32 vapour'],
  ];

  test.each(refusals)('%s', (setting, refusal) => {
    const [problem, ...others] = load(`${SMALLEST}policy: { ${setting} }\n`).problems;
    // A value that was not written is told at the map it belongs to.
    expect(problem?.replace(/^7:9:/u, '7:1:')).toBe(refusal);
    expect(others).toEqual([]);
  });
});

test('a rig that is not there is told like any other problem', () => {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-rig-'));
  const file = join(folder, 'none.rig.yaml');
  expect(loadRig(file)).toEqual({
    ok: false,
    problems: [{ file, line: 1, column: 1, message: 'does not exist; check the path' }],
  });
  rmSync(folder, { recursive: true });
});
