/** Every kind of fault, put in at a real bench by keyboard alone; every part is in tests/long. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { launchBrowser } from './harness/browser.ts';
import { type FaultBench, openFaultBench } from './harness/fault-bench.ts';

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

/** One part of each sort, in the order that Tab meets them; the field I/O's wire can have whatever a sensor's can. */
const PARTS = [
  'part coil-a',
  'part grille',
  'wire grille',
  'wire fieldIo',
  'part output.fan',
  'part fan',
  'part airflow',
  'part compressor.a',
] as const;

it('every kind of fault there is can be put in by keyboard alone, at a part that can have it', async () => {
  const put = new Set<string>();
  for (const panel of PARTS) for (const kind of await bench.putInAllOf(panel)) put.add(kind);
  expect(put).toEqual(new Set(bench.rig.faultKinds.map(({ kind }) => kind)));
});
