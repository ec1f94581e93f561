import { describe, expect, test } from 'vitest';
import { load, SMALLEST, sensorWith } from './rig-text.ts';

/** What to write, and the one sentence it is refused with: "LINE:COLUMN: PATH: sentence". */
type Refusals = readonly (readonly [string, string])[];

const A_NAME = 'takes a name of letters, digits and dashes, a letter first';

describe('a line', () => {
  const EXAMPLES =
    'tcp://127.0.0.1:1502, rtu+tcp://127.0.0.1:1503 or rtu:///dev/ttyUSB0?baud=19200&parity=even';
  const BAUD = 'takes bits a second, 300 to 1000000, such as 19200';
  const refusals: Refusals = [
    ['lines: main', '7:8: lines: takes a list, such as [{ id: main }]'],
    ['lines: []', '7:8: lines: needs at least one line, such as [{ id: main }]'],
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
    ['lines: [{ id: m, listen: [1502] }]', `7:27: lines[0].listen[0]: takes an address, such as ${EXAMPLES}`],
    [
      'lines: [{ id: m, listen: [tcp://h] }]',
      `7:27: lines[0].listen[0]: "tcp://h" is not an address; write ${EXAMPLES}`,
    ],
    [
      'lines: [{ id: m, listen: [tcp://h:65536] }]',
      '7:27: lines[0].listen[0]: port 65536 is past 65535, the last there is',
    ],
    [
      'lines: [{ id: m, listen: ["tcp://h:1", "rtu:///dev/ttyUSB0?bauds=1"] }]',
      '7:40: lines[0].listen[1]: a serial line has no "bauds"; did you mean "baud"?',
    ],
    [
      'lines: [{ id: m, listen: ["tcp://h:1", "tcp://h:1"] }]',
      '7:26: lines[0].listen: tcp://h:1 is taken by line m already; choose another',
    ],
    [
      'lines: [{ id: m, pase: { baud: 19200 } }]',
      '7:18: lines[0]: "pase" is not known here; did you mean "pace"?',
    ],
    [
      'lines: [{ id: m, pace: { baud: 19200, stop: 2 } }]',
      '7:39: lines[0].pace: "stop" is not known here; it takes baud, parity, timeout',
    ],
    ['lines: [{ id: m, pace: { baud: 299 } }]', `7:32: lines[0].pace.baud: ${BAUD}`],
    ['lines: [{ id: m, pace: { baud: 1000001 } }]', `7:32: lines[0].pace.baud: ${BAUD}`],
    ['lines: [{ id: m, pace: { baud: fast } }]', `7:32: lines[0].pace.baud: ${BAUD}`],
    ['lines: [{ id: m, pace: { parity: mark } }]', '7:34: lines[0].pace.parity: takes none, even or odd'],
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
      '8:23: lines[1].listen: tcp://127.0.0.1:1502 is taken by line main already; choose another',
    ]);
  });

  test('cannot have the serial port of another, however that is set', () => {
    const port = (line: string, baud: number): string =>
      `  - { id: ${line}, listen: ["rtu:///dev/ttyUSB0?baud=${baud}"] }\n`;
    const text = `${sensorWith('line: main, unitId: 11')}fieldIo: { line: main }\nlines:\n`;
    expect(load(`${text}${port('main', 9600)}${port('two', 19_200)}`).problems).toEqual([
      '10:24: lines[1].listen: rtu:///dev/ttyUSB0?baud=19200&parity=even is taken by line main already; choose another',
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
    ['unitId: 11, outOfBox: perhaps', '6:54: sensors[0].outOfBox: takes on or off'],
    ['unitId: 11, installed: 2025-02-30', '6:55: sensors[0].installed: takes a day, such as 2025-03-01'],
    ['unitId: 11, responseT90: 0 s', '6:57: sensors[0].responseT90: takes 1 ms or more'],
    ['kind: contact', '6:5: sensors[0].input: is missing; it takes the number of a discrete input, 8 to 23'],
    ['kind: contact, input: 7', '6:54: sensors[0].input: takes a discrete input for contacts, 8 to 23'],
    ['kind: contact, input: 24', '6:54: sensors[0].input: takes a discrete input for contacts, 8 to 23'],
    [
      'kind: contact, input: 8, contact: opens',
      '6:66: sensors[0].contact: takes one of opens-on-gas, closes-on-gas',
    ],
    [
      'kind: contact, input: 8, unitId: 11',
      '6:57: sensors[0]: "unitId" is not known here; it takes id, at, exposure, kind, input, contact, part, serial, installed, checked, serviceLife, checkEvery, responseT90, deadTime',
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
    expect(others).toContain('p.yaml:2:7: name: takes a text that names the sensor');
    expect(others.filter((problem) => !problem.startsWith('p.yaml:'))).toEqual([]);
  });
});
