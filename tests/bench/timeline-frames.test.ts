/**
 * How smoothly the timeline moves, in Chromium's own trace: 32 sensors, an hour of a reading and a true
 * value a second of each. The trace says of every frame whether it reached the screen in time.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { toCloudEvent } from '../../src/events/index.ts';
import { type BuiltPage, buildPage, launchBrowser } from '../browser/harness/browser.ts';
import { rigOfMany, secondOfMany, snapshotOfMany } from '../browser/harness/many.ts';
import { type StandIn, startStandIn } from '../browser/harness/server.ts';
import { type Frames, framesOf, TRACE_CATEGORIES } from './frames.ts';

const SENSORS = 32;
const HOUR_S = 3600;
const TRACED_MS = 6000;

let built: BuiltPage;
let browser: Browser;
let bench: StandIn;
let page: Page;
let second = 0;
let sequence = 0;

beforeAll(async () => {
  [built, browser] = await Promise.all([buildPage(), launchBrowser()]);
  bench = await startStandIn(built.folder, snapshotOfMany(SENSORS, 0, 20, 0));
  bench.rig = rigOfMany(SENSORS);
  page = await (await browser.newContext({ viewport: { width: 1280, height: 1000 } })).newPage();
  await page.goto(bench.url);
  await page.getByText('live', { exact: true }).waitFor();
});

afterAll(async () => {
  await browser.close();
  await bench.close();
  await built.remove();
});

/** One second of the busy rig, and the snapshot that goes with it. */
function tellSecond(speed: number): void {
  second += 1;
  for (const fact of secondOfMany(SENSORS, second)) {
    sequence += 1;
    bench.pass(toCloudEvent(fact, sequence, Date.now(), bench.rig.name, bench.recordId));
  }
  bench.snapshot = snapshotOfMany(SENSORS, second * 1000, speed, sequence);
}

async function tellHour(): Promise<void> {
  while (second < HOUR_S) {
    tellSecond(20);
    if (second % 20 === 0) await new Promise((resolve) => setTimeout(resolve, 5));
  }
  // The last of the hour has come through.
  await page.locator('.event-time', { hasText: '1:00:00' }).first().waitFor();
}

/** Frames while the bench runs on at a speed and something is done to the page. */
async function traced(speed: number, deed: () => Promise<void>): Promise<Frames> {
  const running = setInterval(() => {
    tellSecond(speed);
  }, 1000 / speed);
  try {
    await page.waitForTimeout(500);
    await browser.startTracing(page, { categories: TRACE_CATEGORIES });
    await deed();
    return framesOf(await browser.stopTracing());
  } finally {
    clearInterval(running);
  }
}

async function drag(): Promise<void> {
  const box = await page.locator('.plot-window').boundingBox();
  if (box === null) throw new Error('the plot is not there');
  const y = box.y + 100;
  const endMs = Date.now() + TRACED_MS;
  await page.mouse.move(box.x + 60, y);
  await page.mouse.down();
  for (let step = 0; Date.now() < endMs; step += 1) {
    await page.mouse.move(box.x + box.width / 2 + (box.width / 2 - 60) * Math.sin(step / 40), y);
    await page.waitForTimeout(8);
  }
  await page.mouse.up();
}

describe('the timeline of 32 sensors with an hour of history', () => {
  it('holds the whole hour', async () => {
    await tellHour();
    expect(await page.locator('.lane-names').count()).toBe(SENSORS);
  });

  for (const [span, speed] of [
    ['10 min', 1],
    ['10 min', 20],
    ['60 min', 20],
  ] as const) {
    it(`follows now, ${span} in sight at speed ${speed}`, async () => {
      await page.getByRole('radio', { name: span, exact: true }).check();
      await page.getByRole('button', { name: 'Follow now' }).click();
      const frames = await traced(speed, () => page.waitForTimeout(TRACED_MS));
      console.log(`following, ${span}, speed ${speed}:`, JSON.stringify(frames));
      expect(frames.shown).toBeGreaterThan(0);
    });

    it(`is dragged, ${span} in sight at speed ${speed}`, async () => {
      await page.getByRole('radio', { name: span, exact: true }).check();
      const frames = await traced(speed, drag);
      console.log(`dragged, ${span}, speed ${speed}:`, JSON.stringify(frames));
      expect(frames.shown).toBeGreaterThan(0);
    });
  }
});
