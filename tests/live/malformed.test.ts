/** The real command, given every malformed file there is at once. */
import { rmSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { runToEnd } from '../helpers/bench-process.ts';
import { folderOfSound, malformedFiles, written } from '../helpers/malformed.ts';

const folder = folderOfSound();
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const CASES = [...malformedFiles()].flatMap(([group, { kind, cases }]) =>
  cases.map((one, index) => ({
    file: written(one, kind, folder, `${group.replace('.cases.yaml', '')}-${index}`),
    says: one.says,
  })),
);

test('check tells every problem of every one of them, and ends with 2', async () => {
  const { code, stdout, stderr } = await runToEnd(['check', ...CASES.map(({ file }) => file)]);
  expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
  const lines = stderr.trimEnd().split('\n');
  const expected = CASES.flatMap(({ file, says }) =>
    says.map((one) => (/^\d+:\d+: /u.test(one) ? `${file}:${one}` : `${folder}/${one}`)),
  );
  expect(lines).toEqual(expected);
});
