/** What a person reads of a file that is none: some five hundred of them, kept as data with every sentence. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { loadDrill } from '../../../../sim/drill/index.ts';
import type { FileOutcome } from '../../../../src/files/index.ts';
import { loadRig } from '../../../../src/rig/index.ts';
import { loadProfileFile } from '../../../../src/sensor/index.ts';
import { DATA, folderOfSound, type Kind, malformedFiles, told, written } from '../../../helpers/malformed.ts';

const LOADERS: Readonly<Record<Kind, (file: string) => FileOutcome<unknown>>> = {
  rig: loadRig,
  drill: loadDrill,
  profile: loadProfileFile,
};

const folder = folderOfSound();
afterAll(() => {
  rmSync(folder, { recursive: true });
});

test.each(Object.entries(LOADERS))('the sound %s, which most are made of, is good', (kind, load) => {
  expect(load(join(DATA, `sound.${kind}.yaml`))).toMatchObject({ ok: true, warnings: [] });
});

test('there are more than two hundred', () => {
  const count = [...malformedFiles().values()].reduce((sum, { cases }) => sum + cases.length, 0);
  expect(count).toBeGreaterThan(200);
});

describe.each([...malformedFiles()])('%s', (_, { kind, cases }) => {
  test.each(cases)('$of', (malformed) => {
    const file = written(malformed, kind, folder);
    const outcome = LOADERS[kind](file);
    const problems = outcome.ok ? ['is taken'] : outcome.problems.map((one) => told(one, file, folder));
    expect(problems).toEqual(malformed.says);
  });
});
