import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { loadRig } from '../../../src/rig/index.ts';
import { load, SMALLEST, sensorWith } from './rig-text.ts';

/** What to write, and the one sentence it is refused with: "LINE:COLUMN: PATH: sentence". */
type Refusals = readonly (readonly [string, string])[];

const TIMES = 's, ms, min, h, days, years';
const NAMES = 'R-32, R-1234yf, R-1234ze(E), R-452B, R-454A, R-454B, R-454C, R-455A';
const A_NAME = 'takes a name of letters, digits and dashes, a letter first';

describe('a bare number where a unit matters lists the units it takes', () => {
  const top = (key: string, value: string): string =>
    SMALLEST.replace(new RegExp(`^${key}:.*\n`, 'mu'), '').replace('rig: 1\n', `rig: 1\n${key}: ${value}\n`);
  const refusals: Refusals = [
    [top('charge', '4.2'), '2:9: charge: 4.2 needs its unit: write "4.2 kg" (units it takes: kg, g, lb, oz)'],
    [
      top('room', '{ floor: 24, height: 2.5 m }'),
      '2:16: room.floor: 24 needs its unit: write "24 m2" (units it takes: m2, ft2)',
    ],
    [
      top('room', '{ floor: 24 m2, height: 2.5 }'),
      '2:31: room.height: 2.5 needs its unit: write "2.5 m" (units it takes: m, cm, mm, ft, in)',
    ],
    [
      top('room', '{ airChanges: 2, floor: 24 m2, height: 2.5 m }'),
      '2:21: room.airChanges: 2 needs its unit: write "2 /h" (units it takes: /h, /min, /s)',
    ],
    [
      top('cabinet', '{ volume: 1.2 }'),
      '2:20: cabinet.volume: 1.2 needs its unit: write "1.2 m3" (units it takes: m3, ft3, l)',
    ],
    [
      top('cabinet', '{ leakage: 30 }'),
      '2:21: cabinet.leakage: 30 needs its unit: write "30 m3/h" (units it takes: m3/h, m3/s, m3/min, l/s, cfm)',
    ],
    [
      top('fan', '{ airflow: 900 }'),
      '2:17: fan.airflow: 900 needs its unit: write "900 m3/h" (units it takes: m3/h, m3/s, m3/min, l/s, cfm)',
    ],
    [
      top('policy', '{ setpoint: 20 }'),
      '2:21: policy.setpoint: 20 needs its unit: write "20 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3)',
    ],
    [
      top('refrigerant', '{ name: X, lfl: 0.3 kg/m3, molarMass: 52, source: me }'),
      '2:52: refrigerant.molarMass: 52 needs its unit: write "52 g/mol" (units it takes: g/mol, kg/kmol)',
    ],
  ];

  test.each(refusals)('%s', (text, refusal) => {
    expect(load(text).problems).toEqual([refusal]);
  });

  test.each([
    ['fan: { spinUp: 4 }', '7:16: fan.spinUp', 4],
    ['fieldIo: { watchdog: 5 }', '7:22: fieldIo.watchdog', 5],
    ['policy: { hold: 300 }', '7:17: policy.hold', 300],
    ['policy: { silentAfter: 5 }', '7:24: policy.silentAfter', 5],
    ['policy: { askWithin: 10 }', '7:22: policy.askWithin', 10],
    ['policy: { respondWithin: 15 }', '7:26: policy.respondWithin', 15],
    ['policy: { fanProofWithin: 10 }', '7:27: policy.fanProofWithin', 10],
    ['policy: { compressorMinOff: 180 }', '7:29: policy.compressorMinOff', 180],
    ['policy: { resumeWithin: 300 }', '7:25: policy.resumeWithin', 300],
    ['policy: { latchAfter: { trips: 3, within: 24 } }', '7:43: policy.latchAfter.within', 24],
    ['lines: [{ id: main, pollEvery: 1 }]', '7:32: lines[0].pollEvery', 1],
    ['lines: [{ id: main, timeout: 300 }]', '7:30: lines[0].timeout', 300],
  ])('%s', (setting, place, value) => {
    expect(load(`${SMALLEST}${setting}\n`).problems).toEqual([
      `${place}: ${value} needs its unit: write "${value} s" (units it takes: ${TIMES})`,
    ]);
  });

  test.each(['responseT90', 'selfTest'])('a sensor with %s: 10', (key) => {
    expect(load(sensorWith(`unitId: 11, ${key}: 10`)).problems).toEqual([
      expect.stringContaining(`sensors[0].${key}: 10 needs its unit: write "10 s"`),
    ]);
  });
});

describe('what a rig must say', () => {
  const without = (key: string): string =>
    SMALLEST.replace(new RegExp(`^${key}:[^]*?\n(?=\\w|$(?![^]))`, 'mu'), '');
  test.each([
    ['rig', '1:1: rig: is missing; it takes 1'],
    [
      'refrigerant',
      '1:1: refrigerant: is missing; it takes a name, such as R-32, or { name, lfl, molarMass, source }',
    ],
    [
      'charge',
      '1:1: charge: is missing; it takes a number and a unit, such as "1 kg" (units it takes: kg, g, lb, oz)',
    ],
    ['room', '1:1: room: is missing; it takes a map of keys and values'],
    ['sensors', '1:1: sensors: is missing; it takes a list'],
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
    ['policy: { hold: 0 s }', '7:17: policy.hold: must be more than zero'],
    ['policy: { compressorMinOff: -1 s }', '7:29: policy.compressorMinOff: cannot be negative'],
    ['policy: { latchAfter: 3 }', '7:23: policy.latchAfter: takes off, or { trips: 3, within: 24 h }'],
    ['policy: { latchAfter: on }', '7:23: policy.latchAfter: takes off, or { trips: 3, within: 24 h }'],
    ['policy: { latchAfter: { trips: 0, within: 1 h } }', '7:32: policy.latchAfter.trips: takes at least 1'],
    ['heat: maybe', '7:7: heat: takes on or off'],
    ['heat: 1', '7:7: heat: takes on or off'],
    ['circuits: []', '7:11: circuits: takes at least 1 entry'],
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
      '7:11: circuits: takes at most 16 entries',
    ]);
  });
});

describe('a refrigerant that is not in the table', () => {
  const with_ = (refrigerant: string): string => SMALLEST.replace('R-32', refrigerant);

  test.each(['R-33', 'R-410A'])('%s lists those that are: another number is another fluid', (name) => {
    expect(load(with_(name)).problems).toEqual([
      `2:14: refrigerant: "${name}" is not in the table of A2L refrigerants; write one of ${NAMES}, ` +
        'or { name, lfl, molarMass, source }',
    ]);
  });

  const refusals: Refusals = [
    ['32', '2:14: refrigerant: takes a name, such as R-32, or { name, lfl, molarMass, source }'],
    [
      '{ name: X, lfl: 0.3 kg/m3, molarMass: 52 g/mol }',
      '2:14: refrigerant.source: is missing; it takes the standard or data sheet that the LFL is from',
    ],
    [
      '{ name: X, lfl: 20 %LFL, molarMass: 52 g/mol, source: me }',
      '2:30: refrigerant.lfl: cannot be given in %LFL; write kg/m3, g/m3, %vol or ppm',
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
  ];

  test.each(refusals)('%s', (refrigerant, refusal) => {
    expect(load(with_(refrigerant)).problems).toEqual([refusal]);
  });
});

describe('a line', () => {
  const EXAMPLE = 'write tcp://HOST:PORT, such as tcp://127.0.0.1:1502';
  const SERIAL = 'asks for a serial line, which this version does not speak';
  const refusals: Refusals = [
    ['lines: main', '7:8: lines: takes a list'],
    ['lines: []', '7:8: lines: takes at least 1 entry'],
    [
      'lines: [{ id: main }, { id: main, listen: ["tcp://h:1"] }]',
      '7:29: lines[1].id: there is a line "main" already; choose another name',
    ],
    [
      'lines: [{ id: m, listen: tcp://h:1 }]',
      '7:26: lines[0].listen: takes a list of addresses, such as [tcp://127.0.0.1:1502]',
    ],
    [
      'lines: [{ id: m, listen: [] }]',
      '7:26: lines[0].listen: takes a list of addresses, such as [tcp://127.0.0.1:1502]',
    ],
    [
      'lines: [{ id: m, listen: [1502] }]',
      '7:27: lines[0].listen[0]: takes tcp://HOST:PORT, such as tcp://127.0.0.1:1502',
    ],
    [
      'lines: [{ id: m, listen: [tcp://h] }]',
      `7:27: lines[0].listen[0]: "tcp://h" is not an address; ${EXAMPLE}`,
    ],
    [
      'lines: [{ id: m, listen: [tcp://h:65536] }]',
      `7:27: lines[0].listen[0]: "tcp://h:65536" is not an address; ${EXAMPLE}`,
    ],
    [
      'lines: [{ id: m, listen: ["rtu:///dev/ttyUSB0?baud=19200&parity=even"] }]',
      `7:27: lines[0].listen[0]: "rtu:///dev/ttyUSB0?baud=19200&parity=even" ${SERIAL}; ${EXAMPLE}`,
    ],
    [
      'lines: [{ id: m, listen: [rtu+tcp://127.0.0.1:1503] }]',
      `7:27: lines[0].listen[0]: "rtu+tcp://127.0.0.1:1503" ${SERIAL}; ${EXAMPLE}`,
    ],
    [
      'lines: [{ id: m, pace: { baud: 19200 } }]',
      '7:18: lines[0]: "pace" is not known here; it takes id, listen, allow, pollEvery, timeout, retries',
    ],
    ['lines: [{ id: m, allow: [friend] }]', '7:26: lines[0].allow[0]: takes an IP address, such as 10.0.0.5'],
    ['lines: [{ id: m, retries: 11 }]', '7:27: lines[0].retries: takes a whole number, 0 to 10'],
    ['lines: [{ id: m, retries: -1 }]', '7:27: lines[0].retries: takes a whole number, 0 to 10'],
    ['lines: [{ id: m, retries: two }]', '7:27: lines[0].retries: takes a whole number, 0 to 10'],
    ['fieldIo: { line: man }', '7:18: fieldIo.line: there is no line "man"; did you mean "main"?'],
  ];

  test.each(refusals)('%s', (setting, refusal) => {
    expect(load(`${SMALLEST}${setting}\n`).problems).toEqual([refusal]);
  });

  test('cannot listen where another does', () => {
    const text = `${sensorWith('line: main, unitId: 11')}fieldIo: { line: main }\nlines: [{ id: main }, { id: two }]\n`;
    expect(load(text).problems).toEqual([
      '8:23: lines[1].listen: tcp://127.0.0.1:1502 is taken by line main already; choose another port',
    ]);
  });

  test('must be named by everything on it, where there are several', () => {
    const text = `${SMALLEST}lines: [{ id: main }, { id: two, listen: ["tcp://127.0.0.1:1503"] }]\n`;
    expect(load(text).problems).toEqual([
      '1:1: fieldIo.line: is missing; of several lines it takes one: main, two',
      '6:5: sensors[0].line: is missing; of several lines it takes one: main, two',
    ]);
  });
});

describe('a sensor', () => {
  const refusals: Refusals = [
    ['unitId: 0', '6:40: sensors[0].unitId: takes a Modbus address, 1 to 247 (0 is broadcast)'],
    ['unitId: 248', '6:40: sensors[0].unitId: takes a Modbus address, 1 to 247 (248 to 255 are reserved)'],
    ['unitId: 11.5', '6:40: sensors[0].unitId: takes a whole number, 1 to 247'],
    ['kind: modbus', '6:5: sensors[0].unitId: is missing; it takes a whole number, 1 to 247'],
    ['kind: sniffer', '6:38: sensors[0].kind: takes modbus or contact'],
    ['unitId: 11, line: man', '6:50: sensors[0].line: there is no line "man"; did you mean "main"?'],
    ['unitId: 11, serial: 240811', '6:52: sensors[0].serial: takes a text; put it in quotes'],
    [
      'unitId: 11, serial: "123456789"',
      '6:52: sensors[0].serial: takes at most 8 characters with profile reference',
    ],
    [
      'unitId: 11, serial: "é"',
      '6:52: sensors[0].serial: takes ASCII letters, digits and signs, no space at its end',
    ],
    [
      'unitId: 11, serial: "12 "',
      '6:52: sensors[0].serial: takes ASCII letters, digits and signs, no space at its end',
    ],
    ['unitId: 11, installed: yesterday', '6:55: sensors[0].installed: takes a day, such as 2025-03-01'],
    ['unitId: 11, installed: 2025-02-30', '6:55: sensors[0].installed: takes a day, such as 2025-03-01'],
    ['unitId: 11, responseT90: 0 s', '6:57: sensors[0].responseT90: must be more than zero'],
    ['kind: contact', '6:5: sensors[0].input: is missing; it takes the number of a discrete input, 8 to 23'],
    ['kind: contact, input: 7', '6:54: sensors[0].input: takes a discrete input for contacts, 8 to 23'],
    ['kind: contact, input: 24', '6:54: sensors[0].input: takes a discrete input for contacts, 8 to 23'],
    [
      'kind: contact, input: 8, contact: opens',
      '6:66: sensors[0].contact: takes one of opens-on-gas, closes-on-gas',
    ],
    [
      'kind: contact, input: 8, unitId: 11',
      '6:57: sensors[0]: "unitId" is not known here; it takes id, at, kind, input, contact, responseT90',
    ],
  ];

  test.each(refusals)('with %s', (rest, refusal) => {
    expect(load(sensorWith(rest)).problems).toEqual([refusal]);
  });

  test.each([
    ['at: cabnet', '6:23: sensors[0].at: takes one of cabinet, room-low, room-high'],
    ['unitId: 12', '6:5: sensors[0].at: is missing; it takes one of cabinet, room-low, room-high'],
  ])('at no place: %s', (at, refusal) => {
    const text = SMALLEST.replace('at: cabinet, unitId: 11', at.startsWith('at') ? `${at}, unitId: 11` : at);
    expect(load(text).problems).toEqual([refusal]);
  });

  test.each(['5', 'a.b', 'coil a', '-a', 'ö'])('cannot go by the name %s', (id) => {
    expect(load(SMALLEST.replace('coil-a', id)).problems).toEqual([`6:11: sensors[0].id: ${A_NAME}`]);
  });

  // Words of steps and signals (`compressor.a`, `not fan`, `power: { to: rig }`).
  test.each([
    'rig',
    'controller',
    'fan',
    'airflow',
    'fieldIo',
    'compressor',
    'output',
    'call',
    'room-low',
    'and',
  ])('cannot go by a word of the bench: %s', (id) => {
    expect(load(SMALLEST.replace('coil-a', id)).problems).toEqual([
      `6:11: sensors[0].id: "${id}" is a word of the bench; choose another name`,
    ]);
  });

  test('cannot be left out: a rig has one', () => {
    expect(load(SMALLEST.replace(/sensors:[\s\S]*/u, 'sensors: []\n')).problems).toEqual([
      '5:10: sensors: needs at least one sensor',
    ]);
  });
});

describe('two of a kind', () => {
  test('with one name: the later is told', () => {
    expect(load(`${SMALLEST}  - { id: coil-a, at: cabinet, unitId: 12 }\n`).problems).toEqual([
      '7:11: sensors[1].id: there is a sensor "coil-a" already; choose another name',
    ]);
  });

  test('sensors at one address of a line: both are named, with both ways out', () => {
    expect(load(`${SMALLEST}  - { id: coil-b, at: cabinet, unitId: 11 }\n`).problems).toEqual([
      '7:40: sensors[1].unitId: coil-b and coil-a are both at address 11 of line main; give one of them ' +
        'another address, or write "sharedAddresses: allowed" to show what comes of it',
    ]);
  });

  test.each(['', 'sharedAddresses: allowed\n'])(
    'a sensor at the address of the field I/O, whatever is allowed',
    (more) => {
      expect(load(`${sensorWith('unitId: 200')}${more}`).problems).toEqual([
        '6:40: sensors[0].unitId: coil-a and the field I/O are both at address 200 of line main; ' +
          'give one of them another address',
      ]);
    },
  );

  test('contacts at one input', () => {
    const text = `${sensorWith('kind: contact, input: 8')}  - { id: b, at: cabinet, kind: contact, input: 8 }\n`;
    expect(load(text).problems).toEqual([
      '7:49: sensors[1].input: input 8 is taken by coil-a already; choose another',
    ]);
  });
});

describe('a profile', () => {
  test('that does not come with the bench: those that do are named, and the way to bring one', () => {
    expect(load(sensorWith('unitId: 11, profile: referense')).problems).toEqual([
      '6:53: sensors[0].profile: no profile "referense" comes with the bench (did you mean "reference"?); ' +
        'name a file of your own by its path, ending in .yaml',
    ]);
  });

  test('that is not there: the rig and the file are told', () => {
    expect(load(sensorWith('unitId: 11, profile: ./none.profile.yaml')).problems).toEqual([
      '6:53: sensors[0].profile: "./none.profile.yaml" cannot be used; its own problems follow',
      'none.profile.yaml:1:1: does not exist; check the path',
    ]);
  });

  test('that is broken is told once with its own lines and columns, though two sensors name it', () => {
    const rig = `${sensorWith('unitId: 11, profile: ./p.yaml')}  - { id: b, at: cabinet, unitId: 12, profile: ./p.yaml }\n`;
    const [first, ...others] = load(rig, { 'p.yaml': 'profile: 1\nname: 5\n' }).problems;
    expect(first).toBe('6:53: sensors[0].profile: "./p.yaml" cannot be used; its own problems follow');
    expect(others).toContain('p.yaml:2:7: name: takes a text');
    expect(others.filter((problem) => !problem.startsWith('p.yaml:'))).toEqual([]);
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
