/** Every fault of every part of the demo rig, put in at a real bench by keyboard alone. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { outputsOf } from '../../src/page/data/outputs.ts';
import { faultsAt } from '../../src/page/data/parts.ts';
import { launchBrowser } from '../browser/harness/browser.ts';
import { type FaultBench, openFaultBench } from '../browser/harness/fault-bench.ts';

let browser: Browser;
let bench: FaultBench;

beforeAll(async () => {
  browser = await launchBrowser();
  bench = await openFaultBench(browser);
});

afterAll(async () => {
  await bench.close();
  await browser.close();
});

it('every fault of every part', async () => {
  const { rig } = bench;
  const parts = [
    ...rig.sensors.map(({ id }) => id),
    'fieldIo',
    'fan',
    'airflow',
    ...rig.circuits.map((circuit) => `compressor.${circuit}`),
    ...outputsOf(rig).map((output) => `output.${output}`),
  ];
  let pairs = 0;
  for (const part of parts) {
    for (const place of ['part', 'wire'] as const) {
      const kinds = faultsAt(rig, part, place).map(({ kind }) => kind);
      // The field I/O stands on the wire alone.
      if (kinds.length === 0 || (part === 'fieldIo' && place === 'part')) continue;
      expect(await bench.putInAllOf(`${place} ${part}`)).toEqual(kinds);
      pairs += kinds.length;
    }
  }
  expect(pairs).toBeGreaterThan(90);
});
