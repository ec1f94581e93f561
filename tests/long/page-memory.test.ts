/**
 * A page that stays open: eight hours of bench time of a busy rig go through it, faster than at speed 20,
 * since memory knows no clock. What it keeps is bounded, so from the second hour kept on nothing may grow.
 */
import type { CDPSession } from 'playwright-core';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { type BusyPage, openBusyPage } from '../browser/harness/busy-page.ts';

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

let busy: BusyPage;
let session: CDPSession;

beforeEach(async () => {
  busy = await openBusyPage(SENSORS);
  session = await busy.page.context().newCDPSession(busy.page);
});

afterEach(() => busy.close());

async function tellHour(hour: number): Promise<void> {
  for (let told = 0; told < HOUR_S; told += 1) {
    if (busy.tellSecond() % 20 > 0) continue;
    busy.takeSnapshot(20);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  // The last of the hour has come through: its clock stands on the page.
  await busy.page
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
  await busy.page.waitForTimeout(1000);
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
