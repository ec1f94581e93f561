/** "Who asks whom" in a real Chromium: advice, table and picture, for everybody and on a phone. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { violations } from './harness/axe.ts';
import { type BuiltPage, buildPage, launchBrowser, shownText } from './harness/browser.ts';
import { rightPolls, wrongPolls } from './harness/polls.ts';
import { type StandIn, startStandIn } from './harness/server.ts';
import { tellStory } from './harness/story.ts';

/** Longer than the page waits between two requests. */
const A_WHILE_MS = 4000;

let built: BuiltPage;
let browser: Browser;
/** Open all the while, and only looked at. */
let page: Page;
const atEndOfAll: (() => Promise<void>)[] = [];

beforeAll(async () => {
  [built, browser] = await Promise.all([buildPage(), launchBrowser()]);
  const opened = await newPage((close) => atEndOfAll.push(close));
  ({ page } = opened);
  await openSection(opened);
});

afterAll(async () => {
  for (const close of atEndOfAll.reverse()) await close();
  await browser.close();
  await built.remove();
});

interface Opened {
  readonly page: Page;
  readonly bench: StandIn;
}

/** An empty page, and a bench for it alone. */
async function newPage(atEnd: (close: () => Promise<void>) => void): Promise<Opened> {
  const story = tellStory(30);
  const bench = await startStandIn(built.folder, story.snapshot);
  atEnd(() => bench.close());
  bench.record = [...story.events];
  bench.polls = wrongPolls();
  const context = await browser.newContext({ viewport: { width: 1280, height: 844 } });
  atEnd(() => context.close());
  return { page: await context.newPage(), bench };
}

/** Opened by keyboard alone. */
async function openSection({ page: empty, bench }: Opened): Promise<void> {
  await empty.goto(bench.url);
  await empty.getByRole('link', { name: 'Who asks whom' }).focus();
  await empty.keyboard.press('Enter');
  await empty.locator('.bus').waitFor();
}

it('says the advice first, in whole sentences, then who is asked for what', async () => {
  const text = await shownText(page.locator('.polls'));
  expect(text).toContain('coil-a (unit 11 on line main) is asked for registers 1 to 8 (function 04)');
  expect(text.indexOf('is your controller counting from 1?')).toBeLessThan(
    text.indexOf('Line main, by address'),
  );
  const rows = await page.locator('.polls .table tbody tr').allInnerTexts();
  expect(rows).toHaveLength(3);
  expect(rows[0]).toMatch(/^11\s+coil-a\s+40\s+1 s ± 0 ms\s+1 s of 10 s\s+04 reads 1–8\s+all$/u);
  expect(rows[1]).toMatch(/^77\s+not planned\s+40\s+.*40 of 40 unanswered$/su);
});

it('shows all 247 addresses by letter, and says the same in words', async () => {
  const cells = await page.locator('.bus-cells .bus-cell').allInnerTexts();
  expect(cells).toHaveLength(247);
  expect([11, 12, 77, 200].map((id) => cells[id - 1])).toEqual(['A', 'M', 'N', 'A']);
  expect(cells.filter((letter) => letter !== '·')).toHaveLength(4);
  const legend = await page.locator('.bus-legend li').allInnerTexts();
  expect(legend.map((text) => text.replaceAll(/\s+/gu, ' '))).toEqual([
    'A planned, asked, answers: 11, 200',
    'S planned, asked, silent: none',
    'M planned, never asked: 12',
    'U not planned, answers: none',
    'N asked, nobody is there: 77',
  ]);
});

for (const width of [390, 1280]) {
  for (const colorScheme of ['light', 'dark'] as const) {
    it(`has nothing that axe objects to and fits, ${width} px wide in the ${colorScheme}`, async () => {
      await page.setViewportSize({ width, height: 844 });
      await page.emulateMedia({ colorScheme });
      expect(await violations(page)).toEqual([]);
      const overflow = await page.evaluate('document.documentElement.scrollWidth - window.innerWidth');
      expect(overflow).toBeLessThanOrEqual(0);
    });
  }
}

it('asks again while it is on show, and no more once it is left', async ({ onTestFinished }) => {
  const opened = await newPage(onTestFinished);
  const { page: own, bench } = opened;
  // The page's time passes as ours does, and faster when it is told to.
  await own.clock.install();
  await openSection(opened);
  bench.polls = rightPolls();
  await own.clock.fastForward(A_WHILE_MS);
  await own.getByText('Nothing is wrong with the way the devices are asked').waitFor({ timeout: 10_000 });
  await own.getByRole('link', { name: 'Bench' }).click();
  // A request may have been on its way, and needs its time.
  await own.waitForTimeout(500);
  const asked = bench.pollsAsked;
  expect(asked).toBeGreaterThan(1);
  await own.clock.fastForward(A_WHILE_MS);
  await own.waitForTimeout(500);
  expect(bench.pollsAsked).toBe(asked);
});

it('counts anew at a press, and shows what is left at once', async ({ onTestFinished }) => {
  const opened = await newPage(onTestFinished);
  const { page: own, bench } = opened;
  // No time passes: what is shown next was asked for by the press.
  await own.clock.install();
  await openSection(opened);
  bench.polls = rightPolls();
  await own.getByRole('button', { name: 'Count anew' }).click();
  await own.getByText('Nothing is wrong with the way the devices are asked').waitFor({ timeout: 10_000 });
  expect(bench.asked).toEqual([{ path: '/api/v1/poll-report/anew', body: {} }]);
});

it('says why it was not counted anew, and shows what it had', async ({ onTestFinished }) => {
  const opened = await newPage(onTestFinished);
  const { page: own, bench } = opened;
  await openSection(opened);
  bench.refusal = { status: 422, detail: 'this bench counts on' };
  await own.getByRole('button', { name: 'Count anew' }).click();
  await own.locator('.polls').getByText('this bench counts on').waitFor();
  await own.locator('.polls').getByText('is your controller counting from 1?').waitFor();
});

it('says why where the sensors run elsewhere', async ({ onTestFinished }) => {
  const { page: own, bench } = await newPage(onTestFinished);
  bench.polls = null;
  await own.goto(`${bench.url}#/polls`);
  await own.locator('.polls').getByText('there is no such thing here').waitFor();
});
