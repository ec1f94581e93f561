/** A page open at a bench of many sensors, which a test tells second by second: more than a stand-in can keep. */
import type { Browser, Page } from 'playwright-core';
import { toCloudEvent } from '../../../src/events/index.ts';
import { buildPage, launchBrowser } from './browser.ts';
import { rigOfMany, secondOfMany, snapshotOfMany } from './many.ts';
import { startStandIn } from './server.ts';

export interface BusyPage {
  readonly browser: Browser;
  readonly page: Page;
  /** All that happens in the next second of bench time; how many seconds there were. */
  readonly tellSecond: () => number;
  /** From now on the snapshot is one of the last second told, at this speed. */
  readonly takeSnapshot: (speed: number) => void;
  readonly close: () => Promise<void>;
}

export async function openBusyPage(sensors: number): Promise<BusyPage> {
  const [built, browser] = await Promise.all([buildPage(), launchBrowser()]);
  const bench = await startStandIn(built.folder, snapshotOfMany(sensors, 0, 20, 0));
  bench.rig = rigOfMany(sensors);
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 1000 } })).newPage();
  await page.goto(bench.url);
  await page.getByText('live', { exact: true }).waitFor();
  let [second, sequence] = [0, 0];
  return {
    browser,
    page,
    tellSecond: () => {
      second += 1;
      for (const fact of secondOfMany(sensors, second)) {
        sequence += 1;
        bench.pass(toCloudEvent(fact, sequence, Date.now(), bench.rig.name, bench.recordId));
      }
      return second;
    },
    takeSnapshot: (speed) => {
      bench.snapshot = snapshotOfMany(sensors, second * 1000, speed, sequence);
    },
    close: async () => {
      await browser.close();
      await bench.close();
      await built.remove();
    },
  };
}
