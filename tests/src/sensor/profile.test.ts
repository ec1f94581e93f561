import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { formatProblem } from '../../../src/files/index.ts';
import { loadProfileFile, profileFile, shippedProfiles } from '../../../src/sensor/index.ts';
import { editorSays } from '../../helpers/editor.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-profile-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

/** Without the line for editors: its path is no copy's. */
const REFERENCE = readFileSync(profileFile('reference', '.') ?? '', 'utf8').replace(/^#.*\n/u, '');

/**
 * Problems of the reference profile with one stretch of its text written otherwise: "LINE:COLUMN: sentence".
 */
function problems(written: string | RegExp, otherwise: string): readonly string[] {
  const text = REFERENCE.replace(written, otherwise);
  expect(text, 'the stretch is there').not.toBe(REFERENCE);
  const file = join(folder, 'test.profile.yaml');
  writeFileSync(file, text);
  const read = loadProfileFile(file);
  // Whatever the bench takes an editor must take too.
  if (read.ok) expect(editorSays('profile', text)).toEqual([]);
  return read.ok ? [] : read.problems.map((problem) => formatProblem(problem).slice(file.length + 1));
}

describe('a profile', () => {
  test('is found by name among those that come with the bench', () => {
    expect(shippedProfiles()).toContain('reference');
    expect(profileFile('reference', '/anywhere/rig.yaml')).toMatch(/profiles\/reference\.profile\.yaml$/u);
    expect(profileFile('none', '/anywhere/rig.yaml')).toBeNull();
    expect(profileFile('../profiles/reference', '/anywhere/rig.yaml'), 'a name is no path').toBeNull();
  });

  test.each(['./mine.profile.yaml', 'sub/mine.yml'])('is found by its path from the rig: %s', (path) => {
    expect(profileFile(path, '/rigs/rig.yaml')).toBe(resolve('/rigs', path));
  });

  test('that is not there is told', () => {
    const file = join(folder, 'none.yaml');
    expect(loadProfileFile(file)).toEqual({
      ok: false,
      problems: [{ file, line: 1, column: 1, message: 'does not exist; check the path' }],
    });
  });
});

describe('a profile may leave out', () => {
  test.each<[string, string | RegExp, string]>([
    ['the state, where three bits say it', /^ {2}state:.*\n/mu, ''],
    ['the key', /^ {2}writeKey:.*\n/mu, ''],
    [
      'every command, where the address is set by a switch',
      /register\n([\s\S]*)commands:\n(?: .*\n)+/u,
      'switch\n$1',
    ],
    ['what it has no command for', ', identify: 3', ''],
    ['every point but state and number', /^ {2}(?!state|gasPercentLfl)\w+: \{ table.*\n/gmu, ''],
  ])('%s', (_, written, otherwise) => {
    expect(problems(written, otherwise)).toEqual([]);
  });
});

describe('a broken profile is told at the point that is wrong', () => {
  test.each<[string, string | RegExp, string, string]>([
    [
      'no state, and a bit short of one',
      /^ {2}state:.*\n {2}gasBit:.*\n/mu,
      '',
      '7:3: points: needs a point "state", or the bits that say it together: gasBit, selfTestPassed, failedBit',
    ],
    [
      'no number',
      /^ {2}gasPercentLfl:.*\n/mu,
      '',
      '7:3: points: needs a point "gasPercentLfl"; its scale can turn ppm or counts into %LFL',
    ],
    ['a state left out', ', failed: 4', '', '7:10: points.state: needs values for failed'],
    [
      'no values at all',
      /, values:[^}]*\}/u,
      '',
      '7:10: points.state: needs values for warming-up, measuring, gas, failed',
    ],
    [
      'two states alike',
      'failed: 4',
      'failed: 3',
      '7:10: points.state: has one value for two states; give each its own',
    ],
    [
      'a state of another name',
      'measuring: 2',
      'mesuring: 2',
      '7:63: points.state.values: "mesuring" is not known here; did you mean "measuring"?',
    ],
    [
      'a point of another name',
      'gasBit:',
      'gasBits:',
      '8:3: points: "gasBits" is not known here; did you mean "gasBit"?',
    ],
    ['a flag without its bit', ', bit: 0', '', '8:11: points.gasBit: needs "bit", 0 to 15'],
    ['a bit too high', 'bit: 0', 'bit: 16', '8:44: points.gasBit.bit: takes a bit of the register, 0 to 15'],
    [
      'a flag in two registers',
      'address: 1, bit: 0',
      'address: 30, bit: 0, type: u32',
      '8:11: points.gasBit: is one register; leave "type" out',
    ],
    [
      'a number in letters',
      'type: i16, scale: 0.1',
      'type: ascii',
      '19:17: points.temperatureC: takes type u16, i16, u32, i32 or f32',
    ],
    [
      'a number with a length',
      'address: 10 }',
      'address: 30, words: 2 }',
      '20:12: points.counter: takes no "words"; only a text has a length',
    ],
    [
      'a scale of nothing',
      'scale: 0.1, invalid',
      'scale: 0, invalid',
      '13:53: points.gasPercentLfl.scale: takes what one count is worth, a bare number above zero, such as 0.1',
    ],
    [
      'a value no register holds',
      'scale: 0.1, invalid: 65535',
      'scale: 0.1, invalid: 65536',
      '13:18: points.gasPercentLfl: has one register, whose "invalid" is 0 to 65535',
    ],
    [
      'a text without its length',
      'type: ascii, words: 4',
      'type: ascii',
      '21:16: points.refrigerant: needs "type: ascii" and "words"',
    ],
    [
      'a text in numbers',
      'type: ascii, words: 4',
      'words: 4',
      '21:16: points.refrigerant: needs "type: ascii" and "words"',
    ],
    [
      'a text longer than a read',
      'type: ascii, words: 4',
      'type: ascii, words: 126',
      '21:65: points.refrigerant.words: takes a number of registers, 1 to 125',
    ],
    [
      'a register that is none',
      'address: 5 }',
      'address: 65536 }',
      '16:39: points.faultCode.address: takes a register, 0 to 65535, counted from 0 and without the digit of its table (30011 is 10)',
    ],
    [
      'a number past the last register',
      'address: 6, type: u32',
      'address: 65535, type: u32',
      '17:10: points.hours: ends past register 65535; give it a lower address',
    ],
    [
      'a register used twice',
      'address: 3,',
      'address: 2,',
      '14:18: points.gasPercentVol: takes a register of points.gasPercentLfl; give one of them another address',
    ],
    [
      'a number inside a text',
      'address: 10 }',
      'address: 13 }',
      '21:16: points.refrigerant: takes a register of points.counter; give one of them another address',
    ],
    [
      'a flag inside a number',
      'address: 1, bit: 4',
      'address: 2, bit: 4',
      '13:18: points.gasPercentLfl: takes a register of points.saturated; give one of them another address',
    ],
    [
      'two commands in one register',
      'writeKey: { address: 2',
      'writeKey: { address: 1',
      '26:13: commands.writeKey: takes a register of commands.command; give one of them another address',
    ],
    [
      'a point in the register of a command',
      'faultCode: { table: input, address: 5',
      'faultCode: { table: holding, address: 0',
      '16:14: points.faultCode: takes a register of commands.newAddress; give one of them another address',
    ],
    [
      'a table that is none',
      'counter: { table: input',
      'counter: { table: coils',
      '20:21: points.counter.table: takes one of input, holding, discrete, coil',
    ],
    [
      'a command of another name',
      'identify: 3',
      'identity: 3',
      '25:61: commands.command.values: "identity" is not known here; did you mean "identify"?',
    ],
    [
      'an address set by a register that is not told',
      /^ {2}newAddress:.*\n/mu,
      '',
      '5:15: addressSetBy: register needs "commands" with "newAddress"; or write switch or part',
    ],
    [
      'no commands at all, with an address set by register',
      /^commands:\n(?: .*\n)+/mu,
      '',
      '5:15: addressSetBy: register needs "commands" with "newAddress"; or write switch or part',
    ],
    [
      'gas without a word for no reading',
      'scale: 0.1, invalid: 65535',
      'scale: 0.1',
      '13:18: points.gasPercentLfl: needs "invalid": what stands there while there is no valid reading ' +
        '(65535 where nothing does)',
    ],
    ...(['i16', 'u32', 'i32'] as const).map((type, index): [string, string, string, string] => [
      `gas in ${type} without a word for no reading`,
      'address: 2, scale: 0.1, invalid: 65535',
      `address: 60, type: ${type}`,
      '13:18: points.gasPercentLfl: needs "invalid": what stands there while there is no valid reading ' +
        `(${[32768, 4294967295, 2147483648][index]} where nothing does)`,
    ]),
    [
      'a float with a word for no reading',
      'address: 2, scale: 0.1,',
      'address: 60, type: f32,',
      '13:18: points.gasPercentLfl: is NaN where there is no valid reading; leave "invalid" out',
    ],
    [
      'a signed number whose word for no reading does not fit',
      'type: i16, scale: 0.1',
      'type: i16, invalid: 65536',
      '19:17: points.temperatureC: has one register, whose "invalid" is 0 to 65535',
    ],
    [
      'a float past the last register',
      'address: 10 }',
      'address: 65535, type: f32 }',
      '20:12: points.counter: ends past register 65535; give it a lower address',
    ],
    [
      'a number in a single bit',
      'counter: { table: input',
      'counter: { table: coil',
      '20:12: points.counter: is more than one bit; it takes table input or holding, not coil',
    ],
    [
      'a text in a single bit',
      'serial: { table: input',
      'serial: { table: discrete',
      '22:11: points.serial: is more than one bit; it takes table input or holding, not discrete',
    ],
    [
      'a bit of a bit',
      'gasBit: { table: input',
      'gasBit: { table: discrete',
      '8:11: points.gasBit: takes no "bit"; each address of table discrete is one bit',
    ],
    [
      'two flags in one bit',
      'address: 1, bit: 1',
      'address: 1, bit: 0',
      '9:19: points.selfTestPassed: takes the bit of points.gasBit; give one of them another',
    ],
    [
      'two flags at one address of a bit table',
      /input, address: 1, bit: [01]/gu,
      'coil, address: 1',
      '9:19: points.selfTestPassed: takes the address of points.gasBit; give one of them another',
    ],
    [
      'a number with a bit',
      'address: 10 }',
      'address: 10, bit: 3 }',
      '20:12: points.counter: takes no "bit"; only a flag is a bit',
    ],
    [
      'a number upside down',
      'address: 10 }',
      'address: 10, inverted: yes }',
      '20:12: points.counter: takes no "inverted"; only a flag can be inverted',
    ],
    [
      'a number with words for its values',
      'address: 10 }',
      'address: 10, values: { gas: 1 } }',
      '20:12: points.counter: takes no "values"; only the state has words for its values',
    ],
    [
      'a flag with a scale',
      'address: 1, bit: 0',
      'address: 1, bit: 0, scale: 2',
      '8:11: points.gasBit: takes no "scale"; only a number has a scale',
    ],
    [
      'a text with a word for no reading',
      'type: ascii, words: 4',
      'type: ascii, words: 4, invalid: 0',
      '21:16: points.refrigerant: takes no "invalid"; only a number can be invalid',
    ],
    [
      'a key without its time',
      'opensFor: 60 s',
      'opensFor: 60',
      '26:52: commands.writeKey.opensFor: 60 needs its unit, such as "60 s" (units it takes: s, ms, min, h, days, years)',
    ],
    [
      'a lamp colour that is none',
      'colour: green',
      'colour: pink',
      '30:24: lamp.measuring.colour: takes one of off, white, green, red, yellow, blue',
    ],
    [
      'a lamp faster than IEC 60073 has it',
      'hz: 2,',
      'hz: 3,',
      '31:27: lamp.gas.hz: takes blinks a second, a bare number from 0, for steady, to 2.8',
    ],
    [
      'a lamp without its word',
      'word: gas',
      'word: ""',
      '31:36: lamp.gas.word: takes a text: what the lamp says',
    ],
    [
      'a meaning without a lamp',
      /^ {2}failed: \{ colour.*\n/mu,
      '',
      '28:3: lamp.failed: is missing; it takes { colour, hz, word }, such as { colour: red, hz: 2, word: gas }',
    ],
    [
      'an address set by magic',
      'addressSetBy: register',
      'addressSetBy: magic',
      '5:15: addressSetBy: takes one of register, switch, part',
    ],
    [
      'a factory address that is none',
      'factoryAddress: 1',
      'factoryAddress: 0',
      '4:17: factoryAddress: takes a Modbus address, 1 to 247',
    ],
    [
      'another version',
      'profile: 1',
      'profile: 2',
      '2:10: profile: takes 1, a bare number: the version of the file format',
    ],
  ])('%s', (_, written, otherwise, problem) => {
    expect(problems(written, otherwise)).toEqual([problem]);
  });

  test('what only a register for the address gives a use has none with a switch', () => {
    expect(problems('addressSetBy: register', 'addressSetBy: switch')).toEqual([
      '24:15: commands.newAddress: has no use where the address is set by switch; leave it out',
      '26:13: commands.writeKey: has no use where the address is set by switch; leave it out',
    ]);
  });

  test('every problem is told', () => {
    expect(problems(/bit: \d/gu, 'bit: 16')).toHaveLength(5);
  });
});
