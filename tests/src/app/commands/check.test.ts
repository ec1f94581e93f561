/** `check` knows a file by what it says, and tells every problem of every file. */
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, test, vi } from 'vitest';
import { check } from '../../../../src/app/commands/check.ts';
import { EXIT, Stop } from '../../../../src/app/stop.ts';
import { DEMO_FILE } from '../../../helpers/demo.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-check-'));
copyFileSync(DEMO_FILE, join(folder, 'tide-street.rig.yaml'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});
afterEach(() => {
  vi.restoreAllMocks();
});

function drillFile(name: string, rest: string): string {
  const file = join(folder, name);
  writeFileSync(file, `rig: tide-street.rig.yaml\nname: Quiet\nlength: 10 min\n${rest}`);
  return file;
}

/** What is printed, and what the command ends with. */
function run(file: string, json = false): { readonly printed: string; readonly stopped: unknown } {
  let printed = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    printed += String(text);
    return true;
  });
  try {
    check([file], json);
    return { printed, stopped: null };
  } catch (stopped) {
    return { printed, stopped };
  }
}

describe('check', () => {
  test('takes a drill, though it names a rig before it says that it is a drill', () => {
    const file = drillFile('good.drill.yaml', 'drill: 1\n');
    expect(run(file)).toEqual({ printed: `${file}: good\n`, stopped: null });
  });

  test('takes a drill that repeats itself through an alias', () => {
    const steps = 'steps: [{ at: 1 s, call: &cool { cooling: on } }, { at: 2 s, call: *cool }]\n';
    const file = drillFile('alias.drill.yaml', `drill: 1\n${steps}`);
    expect(run(file)).toEqual({ printed: `${file}: good\n`, stopped: null });
  });

  test('tells what is wrong with a drill, with file, line and column', () => {
    const file = drillFile('bad.drill.yaml', 'drill: 1\nexpect: [{ at: 1 s, then: fan and hate }]\n');
    const message = 'expect[0].then: there is no signal "hate"; did you mean "heat"?';
    const { stopped } = run(file);
    expect(stopped).toBeInstanceOf(Stop);
    expect(stopped).toMatchObject({ exitCode: EXIT.usage, message: `${file}:5:35: ${message}` });
    const { printed } = run(file, true);
    expect(JSON.parse(printed)).toEqual({
      ok: false,
      problems: [{ file, line: 5, column: 35, message }],
      warnings: [],
    });
  });

  test('knows a drill by its length where it does not say what it is', () => {
    const file = drillFile('unsaid.drill.yaml', '');
    expect(run(file).stopped).toMatchObject({
      message: `${file}:1:1: drill: is missing; it takes 1, a bare number: the version of the file format`,
    });
  });

  test('knows a drill by its first word where its length is missing', () => {
    const file = join(folder, 'endless.drill.yaml');
    writeFileSync(file, 'drill: 1\nname: Quiet\nrig: tide-street.rig.yaml\n');
    const { stopped } = run(file);
    expect(stopped).toMatchObject({
      message: expect.stringMatching(/^\S+:1:1: length: is missing; it takes a number/u) as string,
    });
  });

  test('still takes a rig and a profile, and any other file for a rig', () => {
    expect(run(DEMO_FILE).stopped).toBeNull();
    const other = join(folder, 'other.yaml');
    writeFileSync(other, '- 1\n');
    expect(run(other).stopped).toMatchObject({ message: `${other}:1:1: takes a map of keys and values` });
    expect(run(join(folder, 'none.yaml')).stopped).toMatchObject({
      message: `${join(folder, 'none.yaml')}:1:1: does not exist; check the path`,
    });
  });
});
