import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { type FileProblem, formatProblem, parseYaml, readYamlFile } from '../../../src/files/index.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-files-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

/** A small file format with a bit of everything. */
const schema = z.strictObject({
  name: z.string(),
  room: z.strictObject({ floor: z.number(), height: z.number().min(2) }).optional(),
  sensors: z.array(z.strictObject({ id: z.string(), at: z.enum(['low', 'high']) })).optional(),
});

function problemsOf(text: string): readonly FileProblem[] {
  const read = parseYaml('rig.yaml', text, schema);
  expect(read.ok).toBe(false);
  return read.ok ? [] : read.problems;
}

/** "LINE:COLUMN: sentence" of every problem. */
function told(text: string): readonly string[] {
  return problemsOf(text).map((problem) => formatProblem(problem).replace(/^rig\.yaml:/u, ''));
}

describe('a YAML file', () => {
  test('is read from disk, checked, and able to point at its values', () => {
    const file = join(folder, 'good.yaml');
    writeFileSync(file, 'name: x\nsensors:\n  - { id: a, at: low }\n  - { id: b, at: high }\n');
    const read = readYamlFile(file, schema);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(read.value.value.sensors?.[1]).toEqual({ id: 'b', at: 'high' });
    expect(read.warnings).toEqual([]);
    const { locate } = read.value;
    expect(locate(['sensors', 1, 'at'], 'speaks')).toEqual({
      file,
      line: 4,
      column: 18,
      message: 'sensors[1].at: speaks',
    });
    expect(locate(['sensors', 1, 'unwritten'], 'speaks'), 'what is not there: its parent').toMatchObject({
      line: 4,
      column: 5,
    });
    expect(locate([], 'speaks'), 'the whole file').toMatchObject({ line: 1, column: 1, message: 'speaks' });
  });

  test('keeps the words of YAML 1.1 as words: no, on and a date are texts', () => {
    const read = parseYaml('f', 'a: no\nb: on\nc: 2025-03-01\nd: 0o17\n', z.unknown());
    expect(read.ok && read.value.value).toEqual({ a: 'no', b: 'on', c: '2025-03-01', d: 15 });
  });

  test('may give a value a name and use it again', () => {
    const read = parseYaml('f', 'name: &same x\nsensors: [{ id: *same, at: low }]\n', schema);
    expect(read.ok && read.value.value.sensors?.[0]?.id).toBe('x');
  });
});

describe('a problem of a value', () => {
  test.each([
    ['a wrong type', 'name: 5\n', '1:7: name: takes a text; put it in quotes'],
    [
      'a wrong type, deep',
      'name: x\nsensors:\n  - id: a\n    at: middle\n',
      '4:9: sensors[0].at: takes one of low, high',
    ],
    ['a limit', 'name: x\nroom: { floor: 3, height: 1 }\n', '2:27: room.height: takes at least 2'],
    [
      'a key that is missing',
      'name: x\nroom:\n  floor: 3\n',
      '3:3: room.height: is missing; it takes a number',
    ],
    [
      'a key that is missing at the top',
      '# nothing yet\nroom: { floor: 3, height: 2 }\n',
      '2:1: name: is missing; it takes a text',
    ],
    ['a list that is a map', 'name: x\nsensors: { id: a }\n', '2:10: sensors: takes a list'],
    ['a map that is empty', 'name: x\nroom:\n', '2:6: room: takes a map of keys and values'],
    ['a file that is one word', 'hello\n', '1:1: takes a map of keys and values'],
  ])('%s is told where it stands, with what to write', (_, text, sentence) => {
    expect(told(text)).toEqual([sentence]);
  });

  test('is told for every value, not for the first alone', () => {
    expect(told('name: 5\nroom: { floor: a, height: 1 }\n')).toEqual([
      '1:7: name: takes a text; put it in quotes',
      '2:16: room.floor: takes a number',
      '2:27: room.height: takes at least 2',
    ]);
  });

  test('points at a key that is not known, and says which one was meant', () => {
    expect(told('name: x\nrom: { floor: 3, height: 2 }\n')).toEqual([
      '2:1: "rom" is not known here; did you mean "room"?',
    ]);
    expect(told('name: x\nsensors:\n  - { id: a, at: low, 17: 3 }\n')).toEqual([
      '3:23: sensors[0]: "17" is not known here; it takes id, at',
    ]);
  });

  test('points through an alias at the place that uses it', () => {
    expect(told('name: x\nroom: &it { floor: 3, height: 1 }\nsensors: *it\n')).toContain(
      '3:10: sensors: takes a list',
    );
  });
});

describe('what is not YAML', () => {
  test.each([
    ['nothing at all', '', '1:1: is empty; it takes keys and values'],
    ['comments alone', '# later\n', '1:1: is empty; it takes keys and values'],
    ['a tab', 'name: x\nroom:\n\tfloor: 3\n', '3:1: is indented with a tab; YAML takes spaces'],
    [
      'a key twice',
      'name: x\nname: y\n',
      '2:1: has the key "name" twice in one map; keep one, or indent it below what it belongs to',
    ],
    [
      'two documents',
      'name: x\n---\nname: y\n',
      '2:1: holds a second document ("---"); give each a file of its own',
    ],
    [
      'an alias without its anchor',
      'name: x\nroom: *there\n',
      '2:7: there is no anchor "&there" before "*there"',
    ],
  ])('%s is told in a sentence of ours', (_, text, sentence) => {
    expect(told(text)).toEqual([sentence]);
  });

  test('is told once, though one mistake brings others in its wake', () => {
    const problems = told('name: x\nroom: { floor: [3, height: 2\nsensors: ]\n');
    expect(problems).toHaveLength(1);
    expect(problems[0]).toBe('3:1: lacks its closing "]", or a line of it is not indented');
  });
});

describe('a file that would exhaust the machine', () => {
  test('is refused where its aliases multiply', () => {
    const names = ['b', 'c', 'd', 'e', 'f', 'g', 'h'];
    const bomb = names.reduce((text, name, index) => {
      const before = index === 0 ? 'a' : (names[index - 1] ?? '');
      return `${text}${name}: &${name} [${Array.from({ length: 9 }, () => `*${before}`).join(', ')}]\n`;
    }, 'a: &a [x, x, x, x, x, x, x, x, x]\n');
    expect(told(bomb)).toEqual([
      '2:8: repeats itself through more than 50 aliases, from here on; write it out',
    ]);
  });

  test('takes 50 uses of one name, and no more', () => {
    const uses = (count: number) => `a: &a x\nb: [${Array.from({ length: count }, () => '*a').join(', ')}]\n`;
    expect(parseYaml('f', uses(50), z.unknown()).ok).toBe(true);
    expect(parseYaml('f', uses(51), z.unknown()).ok).toBe(false);
  });

  test('is refused where it is nested without end', () => {
    const [only, ...others] = told(`name: ${'['.repeat(3000)}`);
    expect(only).toBe('1:71: is nested too deeply to be read; no file of the bench needs that');
    expect(others).toEqual([]);
  });

  test('is refused above 1 MiB, before it is read', () => {
    const file = join(folder, 'large.yaml');
    writeFileSync(file, `name: ${'x'.repeat(1024 * 1024)}\n`);
    expect(readYamlFile(file, schema)).toEqual({
      ok: false,
      problems: [{ file, line: 1, column: 1, message: 'is larger than 1 MiB; split it' }],
    });
  });
});

describe('a file that cannot be read', () => {
  test('does not exist', () => {
    const file = join(folder, 'nowhere.yaml');
    expect(readYamlFile(file, schema)).toEqual({
      ok: false,
      problems: [{ file, line: 1, column: 1, message: 'does not exist; check the path' }],
    });
  });

  test('is a folder', () => {
    mkdirSync(join(folder, 'sub.yaml'));
    expect(readYamlFile(join(folder, 'sub.yaml'), schema)).toMatchObject({
      problems: [{ message: 'is a folder; name a file' }],
    });
  });

  test('has a path through a file', () => {
    writeFileSync(join(folder, 'plain'), 'x');
    expect(readYamlFile(join(folder, 'plain', 'rig.yaml'), schema)).toMatchObject({
      problems: [{ message: 'cannot be read (ENOTDIR); check its path and permissions' }],
    });
  });

  // Permissions do not hold the superuser back.
  test.skipIf(process.getuid?.() === 0)('may not be read', () => {
    const file = join(folder, 'secret.yaml');
    writeFileSync(file, 'name: x\n');
    chmodSync(file, 0);
    expect(readYamlFile(file, schema)).toMatchObject({
      problems: [{ message: 'cannot be read (EACCES); check its path and permissions' }],
    });
  });
});

test('a problem is one line: file, line, column, sentence', () => {
  expect(formatProblem({ file: 'a/rig.yaml', line: 3, column: 14, message: 'charge: takes a mass' })).toBe(
    'a/rig.yaml:3:14: charge: takes a mass',
  );
});
