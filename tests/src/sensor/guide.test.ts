/** What the guide tells an integrator of profiles is what the bench takes. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { packageRoot } from '../../../src/files/index.ts';
import { compileCodec, loadProfileFile, POINT_KINDS, shippedProfiles } from '../../../src/sensor/index.ts';
import { pointSchema } from '../../../src/sensor/point.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-guide-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const SECTION =
  /## A sensor of your own\n([\s\S]*?)\n## /u.exec(
    readFileSync(join(packageRoot(), 'src/guides/rig.md'), 'utf8'),
  )?.[1] ?? '';

describe('the guide', () => {
  test('shows a profile that can be used as it stands', () => {
    const example = /```yaml\n([\s\S]*?)```/u.exec(SECTION)?.[1] ?? '';
    const file = join(folder, 'north-wall.profile.yaml');
    writeFileSync(file, example);
    const read = loadProfileFile(file);
    expect(read).toMatchObject({ ok: true });
    if (!read.ok) return;
    expect(compileCodec(read.value).reads).toEqual([
      { table: 'discrete', address: 0, quantity: 1 },
      { table: 'input', address: 10, quantity: 4 },
      { table: 'holding', address: 100, quantity: 5 },
    ]);
  });

  const { table, type, wordOrder } = pointSchema.shape;
  const words = [
    ...Object.keys(POINT_KINDS),
    ...table.options,
    ...type.unwrap().options,
    ...wordOrder.unwrap().options,
    ...shippedProfiles(),
  ];
  test.each(words)('names %s', (word) => {
    expect(SECTION).toMatch(new RegExp(`[\`\\s]${word}[\`\\s]`, 'u'));
  });
});
