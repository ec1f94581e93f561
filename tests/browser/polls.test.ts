/** "Who asks whom" in a real Chromium: advice, table and picture, for everybody and on a phone. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, it } from 'vitest';
import { type BuiltPage, buildPage, launchBrowser, shownText } from './harness/browser.ts';
import { rightPolls, wrongPolls } from './harness/polls.ts';
import { type StandIn, startStandIn } from './harness/server.ts';
import { tellStory } from './harness/story.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

let built: BuiltPage;
let browser: Browser;
let bench: StandIn;
let page: Page;

beforeAll(async () => {
  [built, browser] = await Promise.all([buildPage(), launchBrowser()]);
});

afterAll(async () => {
  await browser.close();
  await built.remove();
});

beforeEach(async () => {
  const story = tellStory(30);
  bench = await startStandIn(built.folder, story.snapshot);
  bench.record = [...story.events];
  bench.polls = wrongPolls();
});

afterEach(async () => {
  await page.context().close();
  await bench.close();
});

/** Opened by keyboard alone. */
async function openSection(width: number, options: BrowserContextOptions = {}): Promise<void> {
  const context = await browser.newContext({ viewport: { width, height: 844 }, ...options });
  page = await context.newPage();
  await page.goto(bench.url);
  await page.locator('.polls summary').focus();
  await page.keyboard.press('Enter');
  await page.locator('.bus').waitFor();
}

it('says the advice first, in whole sentences, then who is asked for what', async () => {
  await openSection(1280);
  const text = await shownText(page.locator('.polls'));
  expect(text).toContain('coil-a (unit 11 on line main) is asked for registers 1 to 8 (function 04)');
  expect(text.indexOf('is your controller counting from 1?')).toBeLessThan(
    text.indexOf('Line main, by address'),
  );
  const rows = await page.locator('.polls-table tbody tr').allInnerTexts();
  expect(rows).toHaveLength(3);
  expect(rows[0]).toMatch(/^11\s+coil-a\s+40\s+1 s ± 0 ms\s+1 s of 10 s\s+04 reads 1–8\s+all$/u);
  expect(rows[1]).toMatch(/^77\s+not planned\s+40\s+.*40 of 40 unanswered$/su);
});

it('shows all 247 addresses by letter, and says the same in words', async () => {
  await openSection(1280);
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
      await openSection(width, { colorScheme });
      await page.evaluate(await readFile(AXE, 'utf8'));
      const results = await page.evaluate<AxeResults>('axe.run(".polls", { resultTypes: ["violations"] })');
      expect(results.passes.length).toBeGreaterThan(10);
      expect(results.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html ?? ''}`)).toEqual([]);
      const overflow = await page.evaluate('document.documentElement.scrollWidth - window.innerWidth');
      expect(overflow).toBeLessThanOrEqual(0);
    });
  }
}

it('asks again while it stands open, and no more once it is closed', async () => {
  await openSection(1280);
  bench.polls = rightPolls();
  await page.getByText('Nothing is wrong with the way the devices are asked').waitFor({ timeout: 10_000 });
  await page.locator('.polls > details > summary').click();
  // A request may have been on its way.
  await page.waitForTimeout(500);
  const asked = bench.pollsAsked;
  expect(asked).toBeGreaterThan(1);
  await page.waitForTimeout(4000);
  expect(bench.pollsAsked).toBe(asked);
});

it('says why where the sensors run elsewhere', async () => {
  bench.polls = null;
  const context = await browser.newContext();
  page = await context.newPage();
  await page.goto(bench.url);
  await page.locator('.polls summary').click();
  await page.locator('.polls').getByText('there is no such thing here').waitFor();
});
