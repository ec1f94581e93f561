/**
 * How smoothly the timeline moves, in Chromium's own trace: 32 sensors, an hour of a reading and a true
 * value a second of each. The trace says of every frame whether it reached the screen in time.
 */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BusyPage, openBusyPage } from '../browser/harness/busy-page.ts';
import { figure, keepFigures } from './figures.ts';
import { type Frames, framesOf, TRACE_CATEGORIES } from './frames.ts';

const SENSORS = 32;
const HOUR_S = 3600;
const TRACED_MS = 6000;

let busy: BusyPage;

beforeAll(async () => {
  busy = await openBusyPage(SENSORS);
});

afterAll(() => busy.close());

/** One second of the busy rig, and the snapshot that goes with it; which second it was. */
function tellSecond(speed: number): number {
  const second = busy.tellSecond();
  busy.takeSnapshot(speed);
  return second;
}

async function tellHour(): Promise<void> {
  for (let told = 0; told < HOUR_S; told += 1) {
    if (tellSecond(20) % 20 === 0) await new Promise((resolve) => setTimeout(resolve, 5));
  }
  // The last of the hour has come through.
  await busy.page.locator('.event-time', { hasText: '1:00:00' }).first().waitFor();
}

/** Frames while the bench runs on at a speed and something is done to the page. */
async function traced(speed: number, deed: () => Promise<void>): Promise<Frames> {
  const running = setInterval(() => {
    tellSecond(speed);
  }, 1000 / speed);
  try {
    await busy.page.waitForTimeout(500);
    await busy.browser.startTracing(busy.page, { categories: TRACE_CATEGORIES });
    await deed();
    return framesOf(await busy.browser.stopTracing());
  } finally {
    clearInterval(running);
  }
}

async function drag(): Promise<void> {
  const box = await busy.page.locator('.plot-window').boundingBox();
  if (box === null) throw new Error('the plot is not there');
  const y = box.y + 100;
  const endMs = Date.now() + TRACED_MS;
  await busy.page.mouse.move(box.x + 60, y);
  await busy.page.mouse.down();
  for (let step = 0; Date.now() < endMs; step += 1) {
    await busy.page.mouse.move(box.x + box.width / 2 + (box.width / 2 - 60) * Math.sin(step / 40), y);
    await busy.page.waitForTimeout(8);
  }
  await busy.page.mouse.up();
}

/** One trace of many frames: its share is one number, its times are a median already. */
function tell(what: string, { share, mainMs }: Frames): void {
  keepFigures([
    figure(`${what}: frames shown`, '%', [share]),
    figure(`${what}: the page's part of a frame`, 'ms', [mainMs.median], null, 'under 16.7 ms'),
  ]);
}

describe('the timeline of 32 sensors with an hour of history', () => {
  it('holds the whole hour', async () => {
    await tellHour();
    expect(await busy.page.locator('.lane-names').count()).toBe(SENSORS);
  });

  for (const [span, speed] of [
    ['10 min', 1],
    ['10 min', 20],
    ['60 min', 20],
  ] as const) {
    it(`follows now, ${span} in sight at speed ${speed}`, async () => {
      await busy.page.getByRole('radio', { name: span, exact: true }).check();
      await busy.page.getByRole('button', { name: 'Follow now' }).click();
      const frames = await traced(speed, () => busy.page.waitForTimeout(TRACED_MS));
      tell(`timeline follows, ${span} at speed ${speed}`, frames);
      expect(frames.shown).toBeGreaterThan(0);
    });

    it(`is dragged, ${span} in sight at speed ${speed}`, async () => {
      await busy.page.getByRole('radio', { name: span, exact: true }).check();
      const frames = await traced(speed, drag);
      tell(`timeline is dragged, ${span} at speed ${speed}`, frames);
      expect(frames.shown).toBeGreaterThan(0);
    });
  }
});
