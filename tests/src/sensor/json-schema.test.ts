/** What the published schema of profiles refuses the bench refuses too. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { loadProfileFile, profileFile } from '../../../src/sensor/index.ts';
import { editorSays } from '../../helpers/editor.ts';

const folder = mkdtempSync(join(tmpdir(), 'leakbench-profile-schema-'));
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const REFERENCE = readFileSync(profileFile('reference', '.') ?? '', 'utf8');

test.each([
  ['profile: 1', 'profile: 2'],
  ['name: reference\n', ''],
  ['factoryAddress: 1', 'factoryAddress: 0'],
  ['addressSetBy: register', 'addressSetBy: hand'],
  ['gasBit:', 'gasBits:'],
  ['table: input, address: 10', 'table: inputs, address: 10'],
  ['table: input, address: 10', 'table: input, address: 65536'],
  ['table: input, address: 10', 'address: 10'],
  ['bit: 4', 'bit: 16'],
  ['type: u32', 'type: u64'],
  ['scale: 0.1', 'scale: 0'],
  ['warming-up: 1', 'warmingUp: 1'],
  ['newAddress: { address: 0 }', 'newAddress: 0'],
  ['opensFor: 60 s', 'opensFor: 60'],
  ['restart: 2', 'reset: 2'],
  ['colour: red', 'colour: pink'],
  ['hz: 2,', 'hz: 3,'],
  ['word: gas', 'word: ""'],
  ['  identify: { colour: blue, hz: 0.5, word: identify }\n', ''],
])('%s, written %s', (written, otherwise) => {
  const text = REFERENCE.replace(written, otherwise);
  expect(text).not.toBe(REFERENCE);
  const file = join(folder, 'test.profile.yaml');
  writeFileSync(file, text);
  expect(loadProfileFile(file).ok).toBe(false);
  expect(editorSays('profile', text)).not.toEqual([]);
});
