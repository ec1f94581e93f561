/**
 * A page that stays open: eight hours of bench time of a busy rig go through it, faster than at speed 20,
 * since memory knows no clock. What it keeps is bounded, so from the second hour kept on nothing may grow.
 */
import type { Browser, CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { toCloudEvent } from '../../src/events/index.ts';
import { type BuiltPage, buildPage, launchBrowser } from '../browser/harness/browser.ts';
import { rigOfMany, secondOfMany, snapshotOfMany } from '../browser/harness/many.ts';
import { type StandIn, startStandIn } from '../browser/harness/server.ts';

const SENSORS = 32;
const HOUR_S = 3600;
const HOURS = 8;
/** Two hours are kept: from the third on as much is forgotten as is learned. */
const FULL_AFTER_HOURS = 3;
/**
 * A browser keeps compiled code and what it learned of it, and a collector leaves something lying; a page
 * that kept its points would grow by a third of this heap with every hour.
 */
const NOISE = 1.1;
/** Timers and answers that are on their way. */
const LISTENERS_MORE = 10;

let built: BuiltPage;
let browser: Browser;
let bench: StandIn;
let page: Page;
let session: CDPSession;
let sequence = 0;

beforeAll(async () => {
  [built, browser] = await Promise.all([buildPage(), launchBrowser()]);
  bench = await startStandIn(built.folder, snapshotOfMany(SENSORS, 0, 20, 0));
  bench.rig = rigOfMany(SENSORS);
  page = await (await browser.newContext({ viewport: { width: 1280, height: 1000 } })).newPage();
  session = await page.context().newCDPSession(page);
  await page.goto(bench.url);
  await page.getByText('live', { exact: true }).waitFor();
});

afterAll(async () => {
  await browser.close();
  await bench.close();
  await built.remove();
});

async function tellHour(hour: number): Promise<void> {
  for (let second = hour * HOUR_S + 1; second <= (hour + 1) * HOUR_S; second += 1) {
    for (const fact of secondOfMany(SENSORS, second)) {
      sequence += 1;
      bench.pass(toCloudEvent(fact, sequence, Date.now(), bench.rig.name, bench.recordId));
    }
    if (second % 20 > 0) continue;
    bench.snapshot = snapshotOfMany(SENSORS, second * 1000, 20, sequence);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  // The last of the hour has come through: its clock stands on the page.
  await page
    .locator('.event-time', { hasText: `${hour + 1}:00:00` })
    .first()
    .waitFor({ timeout: 300_000 });
}

interface Held {
  readonly heapMB: number;
  readonly nodes: number;
  readonly listeners: number;
}

async function heldNow(): Promise<Held> {
  await page.waitForTimeout(1000);
  await session.send('HeapProfiler.collectGarbage');
  await session.send('HeapProfiler.collectGarbage');
  const { usedSize } = await session.send('Runtime.getHeapUsage');
  const { nodes, jsEventListeners } = await session.send('Memory.getDOMCounters');
  return { heapMB: Math.round(usedSize / 1e5) / 10, nodes, listeners: jsEventListeners };
}

it('does not grow from the time on that its history is full', { timeout: 3_600_000 }, async () => {
  const held: Held[] = [];
  for (let hour = 0; hour < HOURS; hour += 1) {
    await tellHour(hour);
    held.push(await heldNow());
    console.log(`after ${hour + 1} h of bench time:`, JSON.stringify(held.at(-1)));
  }
  const [full, last] = [held[FULL_AFTER_HOURS - 1], held.at(-1)];
  if (full === undefined || last === undefined) throw new Error('nothing was measured');
  expect(last.heapMB).toBeLessThan(full.heapMB * NOISE);
  expect(last.nodes).toBeLessThan(full.nodes * NOISE);
  expect(last.listeners).toBeLessThan(full.listeners + LISTENERS_MORE);
});
