import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { formatProblem } from '../../../src/files/index.ts';
import { loadProfileFile, profileFile, shippedProfiles } from '../../../src/sensor/index.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-profile-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const REFERENCE = readFileSync(profileFile('reference', '.') ?? '', 'utf8');

/** Problems of the reference profile with one stretch of its text written otherwise: "LINE:COLUMN: sentence". */
function problems(written: string | RegExp, otherwise: string): readonly string[] {
  const text = REFERENCE.replace(written, otherwise);
  expect(text, 'the stretch is there').not.toBe(REFERENCE);
  const file = join(folder, 'test.profile.yaml');
  writeFileSync(file, text);
  const read = loadProfileFile(file);
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

describe('a broken profile is told at the point that is wrong', () => {
  test.each<[string, string | RegExp, string, string]>([
    ['no state', /^ {2}state:.*\n/mu, '', '7:3: points: needs a point "state"'],
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
    ['a bit too high', 'bit: 0', 'bit: 16', '8:44: points.gasBit.bit: takes at most 15'],
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
      '19:17: points.temperatureC: takes type u16, i16 or u32',
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
      '13:53: points.gasPercentLfl.scale: takes more than 0',
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
      '21:65: points.refrigerant.words: takes at most 125',
    ],
    [
      'a register that is none',
      'address: 5 }',
      'address: 65536 }',
      '16:39: points.faultCode.address: takes at most 65535',
    ],
    [
      'a number past the last register',
      'address: 6, type: u32',
      'address: 65535, type: u32',
      '17:10: points.hours: ends past register 65535',
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
      '20:21: points.counter.table: takes one of input, holding',
    ],
    [
      'a command without its value',
      ', identify: 3',
      '',
      '25:34: commands.command.values.identify: is missing; it takes a number',
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
    ['a lamp faster than IEC 60073 has it', 'hz: 2,', 'hz: 3,', '31:27: lamp.gas.hz: takes at most 2.8'],
    ['a lamp without its word', 'word: gas', 'word: ""', '31:36: lamp.gas.word: takes at least 1 character'],
    [
      'a meaning without a lamp',
      /^ {2}failed: \{ colour.*\n/mu,
      '',
      '28:3: lamp.failed: is missing; it takes a map of keys and values',
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
      '4:17: factoryAddress: takes at least 1',
    ],
    ['another version', 'profile: 1', 'profile: 2', '2:10: profile: takes 1'],
  ])('%s', (_, written, otherwise, problem) => {
    expect(problems(written, otherwise)).toEqual([problem]);
  });

  test('every problem is told', () => {
    expect(problems(/bit: \d/gu, 'bit: 16')).toHaveLength(5);
  });
});
