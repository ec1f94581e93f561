/** Which stretch of time the timeline shows, as a person reads it off the screen. */
import type { Page } from 'playwright-core';

/** Where the frame is, and the ticks in it: all at one moment, since they come and go as time does. */
const SEEN = `(() => {
  const [frame] = document.querySelectorAll('.plot-window');
  const { x, width } = frame.getBoundingClientRect();
  const middle = (tick) => { const box = tick.getBoundingClientRect(); return box.x + box.width / 2; };
  const ticks = [...frame.querySelectorAll('.tick-word')].map((tick) => [middle(tick), tick.textContent]);
  return { x, width, ticks };
})()`;

interface Seen {
  readonly x: number;
  readonly width: number;
  readonly ticks: readonly (readonly [x: number, clock: string])[];
}

/** What is in sight, worked out from where the ticks stand on the screen. */
export async function windowMs(page: Page): Promise<{ readonly fromMs: number; readonly spanMs: number }> {
  const { x, width, ticks } = await page.evaluate<Seen>(SEEN);
  const [first, last] = [ticks.at(0), ticks.at(-1)];
  if (first === undefined || last === undefined) throw new Error('there are no ticks');
  const [aMs, bMs] = [clockMs(first[1]), clockMs(last[1])];
  const msPerPx = (bMs - aMs) / (last[0] - first[0]);
  return { fromMs: aMs + (x - first[0]) * msPerPx, spanMs: width * msPerPx };
}

export function clockMs(clock: string | null | undefined): number {
  const [hours = 0, minutes = 0, seconds = 0] = (clock ?? '').split(':').map(Number);
  return ((hours * 60 + minutes) * 60 + seconds) * 1000;
}
