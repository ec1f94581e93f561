/** The report of drills in a real Chromium: on a screen, on paper, and as XML for build servers. */
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { AxeResults } from 'axe-core';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../src/app/cautions.ts';
import { reportHtml } from '../../src/app/report/html.ts';
import { reportJunit } from '../../src/app/report/junit.ts';
import type { DrillVerdict } from '../../src/app/report/verdict.ts';
import { schemaProblems, type Xml } from '../src/app/report/junit-schema.ts';
import { brokenVerdict, drillOf, heldVerdict, hungVerdict, MADE } from '../src/app/report/stories.ts';
import { launchBrowser, shownText } from './harness/browser.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
/** A sheet of A4 without the report's margins, in CSS pixels. */
const SHEET_WIDTH = Math.floor(((210 - 2 * 14) / 25.4) * 96);

const ONE = [brokenVerdict()];
const SEVERAL = [heldVerdict(), brokenVerdict(), hungVerdict()];

let browser: Browser;
let folder: string;
let page: Page;
let requests: string[];
let errors: string[];

beforeAll(async () => {
  browser = await launchBrowser();
  folder = await mkdtemp(join(tmpdir(), 'leakbench-report-'));
});

afterAll(async () => {
  await browser.close();
  await rm(folder, { recursive: true });
});

afterEach(async () => {
  await page.context().close();
  expect(errors).toEqual([]);
});

async function openReport(
  verdicts: readonly DrillVerdict[],
  width = 1000,
  options: BrowserContextOptions = {},
): Promise<void> {
  const file = join(folder, 'report.html');
  await writeFile(file, await reportHtml(verdicts, MADE));
  await openPage(pathToFileURL(file).href, { viewport: { width, height: 900 }, ...options });
}

async function openPage(url: string, options: BrowserContextOptions = {}): Promise<void> {
  page = await (await browser.newContext(options)).newPage();
  requests = [];
  errors = [];
  page.on('request', (request) => requests.push(request.url()));
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(message.text());
  });
  await page.goto(url);
}

async function violations(): Promise<readonly string[]> {
  await page.evaluate(await readFile(AXE, 'utf8'));
  const results = await page.evaluate<AxeResults>('axe.run(document, { resultTypes: ["violations"] })');
  expect(results.passes.length).toBeGreaterThan(20);
  return results.violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' | ')}`);
}

describe('readable by everybody', () => {
  for (const width of [390, 1000]) {
    for (const colorScheme of ['light', 'dark'] as const) {
      it(`has nothing that axe objects to, ${width} px wide in the ${colorScheme}`, async () => {
        await openReport(SEVERAL, width, { colorScheme });
        for (const summary of await page.locator('summary').all()) await summary.click();
        expect(await violations()).toEqual([]);
      });
    }
  }

  for (const width of [320, 390, 700, 1000]) {
    it(`has no sideways scrolling at ${width} px`, async () => {
      await openReport(SEVERAL, width);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
    });
  }

  it('lets the picture scroll by keyboard where the screen is too narrow for it', async () => {
    await openReport(ONE, 390);
    await page.locator('.picture-frame').focus();
    await page.keyboard.press('ArrowRight');
    await page.waitForFunction('document.activeElement.scrollLeft > 0');
  });
});

describe('one file that needs nothing else', () => {
  it('asks for nothing but itself, and holds no script', async () => {
    await openReport(SEVERAL);
    expect(requests).toHaveLength(1);
    expect(await page.locator('script, link, img, iframe').count()).toBe(0);
    expect(await page.evaluate('document.compatMode')).toBe('CSS1Compat');
  });

  it('shows what others wrote as text, whatever it says', async () => {
    const wicked = '</style><script>throw new Error("ran")</script><b>&amp;';
    const drill = drillOf({ name: wicked, text: wicked, rules: ['respond', 'fire'], expectations: [] });
    await openReport([heldVerdict({ drill })]);
    expect(await page.locator('h2').first().textContent()).toBe(wicked);
    expect(await page.locator('.drill-text').textContent()).toBe(wicked);
    expect(await page.title()).toBe(`held: ${wicked} (leakbench drill report)`);
  });

  it('says each id once', async () => {
    await openReport(SEVERAL);
    const ids = await page.evaluate<readonly string[]>(
      '[...document.querySelectorAll("[id]")].map((e) => e.id)',
    );
    expect(ids.length).toBeGreaterThan(4);
    expect(new Set(ids).size).toBe(ids.length);
  });
});

describe('what it says', () => {
  it('has the caution on top, and all of them at the foot', async () => {
    await openReport(ONE);
    const top = await page.getByText('Simulation and training only').first().boundingBox();
    expect(top?.y).toBeLessThan(40);
    const foot = await shownText(page.locator('footer'));
    for (const caution of CAUTIONS) expect(foot).toContain(caution);
  });

  it('tells verdict, tally, and every breach with margin, moment, sensor and chain', async () => {
    await openReport(ONE);
    expect(await shownText(page.locator('.verdict'))).toContain('Rules: 6 held, 3 broken, 9 not exercised');
    const recheck = page.locator('.breach', { hasText: 'recheck: looks again' });
    expect(await shownText(recheck.locator('.where'))).toBe('at 0:06:30, at sensor coil-a, margin −318.0 s');
    expect(await recheck.locator('.chain li').count()).toBe(4);
  });

  it('has a row for each rule: its words, tier, source, result as word, margin, moment and sensor', async () => {
    await openReport(ONE);
    const rows = page.locator('.table-frame tbody tr');
    expect(await rows.count()).toBe(19);
    const chain = await shownText(rows.filter({ hasText: 'true gas at 25 %LFL' }));
    expect(chain).toMatch(/chain: mitigates in time .*published requirement; IEC 60335-2-40/su);
    expect(chain).toMatch(/held\s+\+31\.5 s\s+0:01:06\s+coil-b/u);
  });

  it('tells expectations, the drill’s text, seed, versions, limits, and how to run it again', async () => {
    await openReport(ONE);
    const text = await shownText(page.locator('main'));
    for (const part of [
      'at 15 min, then compressor.a',
      'rules: all',
      'leakbench 0.1.0, Node.js v20.20.2',
      'leakbench drill drills/lingering-gas.drill.yaml --seed 7',
      '20 %LFL, clear below 18 %LFL',
    ]) {
      expect(text).toContain(part);
    }
    expect(text).toMatch(/Seed\s+7\s/u);
  });

  it('begins with an overview of several drills, from where each is a step away', async () => {
    await openReport(SEVERAL);
    const rows = page.locator('.table-frame').first().locator('tbody tr');
    expect(await rows.allInnerTexts()).toEqual([
      expect.stringMatching(/A coil leaks while it cools\s+held\s+nothing\s+1 of 2\s+7/u),
      expect.stringMatching(/broken\s+silent, recheck, hold, an expectation\s+9 of 19\s+7/u),
      expect.stringMatching(/broken\s+the run itself\s+0 of 19\s+7/u),
    ]);
    await rows.nth(1).getByRole('link').click();
    const box = await page.locator('#drill-2').boundingBox();
    expect(Math.abs(box?.y ?? Number.NaN)).toBeLessThan(150);
  });

  it('shows the lines of a controller that failed', async () => {
    await openReport([hungVerdict()]);
    expect(await shownText(page.locator('.trouble'))).toContain('panic at <state> & "hold"');
  });
});

describe('the timeline', () => {
  it('has a lane a sensor, a bar for each time an output was on, and no band for what never came', async () => {
    await openReport(ONE);
    const picture = page.locator('.picture');
    expect(await picture.locator('.lane').count()).toBe(3);
    expect(await picture.locator('.band-on:not(.band-input)').count()).toBe(9);
    expect(await picture.locator('.band-input').count()).toBe(3);
    expect(await picture.textContent()).toContain('call cooling');
    expect(await picture.textContent()).not.toContain('fire');
  });

  it('hatches where a reading is not to be believed, and breaks the line there', async () => {
    await openReport(ONE);
    const hatched = await page.locator('.picture .lane-unknown').boundingBox();
    const frame = await page.locator('.picture .lane-foot').first().boundingBox();
    // 6 to 8 min of 25.
    expect((hatched?.width ?? 0) / (frame?.width ?? 1)).toBeCloseTo(2 / 25, 2);
    const strokes = await page.locator('.picture .lane-reported').nth(1).getAttribute('d');
    expect(strokes?.match(/M/gu)).toHaveLength(2);
    // What was read last holds to the gap itself, not only to where it last changed.
    const left = Number(await page.locator('.picture .lane-unknown').getAttribute('x'));
    expect(cornersOf(`M${strokes?.split('M')[1]}`).at(-1)?.[0]).toBeCloseTo(left, 0);
  });

  it('draws the readings where they belong: time across, gas up', async () => {
    await openReport(ONE);
    const lane = page.locator('.picture .lane').first();
    const drawn = await lane.locator('.lane-reported').getAttribute('d');
    const [left = 0, foot = 0] = numbersOf(await lane.locator('.lane-foot').getAttribute('d'));
    const [, setpoint = 0, right = 0] = numbersOf(await lane.locator('.lane-setpoint').getAttribute('d'));
    const gas = (y: number): number => (20 * (foot - y)) / (foot - setpoint);
    const second = (x: number): number => (1500 * (x - left)) / (right - left);
    const points = cornersOf(drawn).map(([x, y]) => [second(x), gas(y)] as const);
    // The story's own numbers: 46 %LFL while the release lasts, test gas of 40 %LFL from 16 min on.
    expect(Math.max(...points.map(([, level]) => level))).toBeCloseTo(46, 0);
    const late = points.filter(([at, level]) => at > 900 && level > 39);
    expect(late[0]?.[0]).toBeCloseTo(960, -1);
    expect(late.at(-1)?.[0]).toBeCloseTo(990, -1);
  });

  it('points at steps by number and at breaches by letter, and lists what they are', async () => {
    await openReport(ONE);
    expect(await page.locator('.flags-step .flag-word').allTextContents()).toEqual(['1', '2', '3', '4']);
    expect(await page.locator('.flags-breach .flag-word').allTextContents()).toEqual(['A–B', 'C']);
    expect(await shownText(page.locator('.steps li').nth(2))).toMatch(
      /3\s+0:06:00\s+fault silent in coil-b, for 2 min/u,
    );
    expect(await page.locator('.breach .letter').allTextContents()).toEqual(['A', 'B', 'C']);
  });
});

describe('on paper', () => {
  it('is black on white, even from a dark screen, and fits the sheet', async () => {
    await openReport(SEVERAL, SHEET_WIDTH, { colorScheme: 'dark' });
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    const colours = await page.evaluate(
      '[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]',
    );
    expect(colours).toEqual(['rgb(255, 255, 255)', 'rgb(28, 30, 27)']);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(SHEET_WIDTH);
    const wide = await page.evaluate(
      `[...document.querySelectorAll('section, figure, table, pre, svg, p')]
        .filter((one) => one.getBoundingClientRect().right > ${SHEET_WIDTH} + 1).map((one) => one.className)`,
    );
    expect(wide).toEqual([]);
  });

  it('shows every result without colour, and nothing that a sheet cannot open', async () => {
    await openReport(ONE);
    await page.emulateMedia({ media: 'print' });
    expect(await shownText(page.locator('.verdict-word'))).toMatch(/broken/iu);
    expect(await page.locator('details:visible').count()).toBe(0);
  });

  it('begins each drill but the first on a sheet of its own', async () => {
    await openReport(SEVERAL);
    await page.emulateMedia({ media: 'print' });
    const breaks = await page.evaluate(
      '[...document.querySelectorAll(".drill")].map((one) => getComputedStyle(one).breakBefore)',
    );
    expect(breaks).toEqual(['auto', 'page', 'page']);
    expect(sheets(await page.pdf({ preferCSSPageSize: true }))).toBeGreaterThanOrEqual(5);
  });
});

function numbersOf(path: string | null): readonly number[] {
  return (path ?? '').match(/[\d.]+/gu)?.map(Number) ?? [];
}

/** The corners of a path of M, H and V, one after the other. */
function cornersOf(path: string | null): readonly (readonly [number, number])[] {
  let [x, y] = [0, 0];
  return [...(path ?? '').matchAll(/([MHV])([-\d.]+)(?:,([-\d.]+))?/gu)].map(([, order, one, two]) => {
    if (order === 'V') y = Number(one);
    else [x, y] = [Number(one), two === undefined ? y : Number(two)];
    return [x, y] as const;
  });
}

function sheets(pdf: Buffer): number {
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b/gu)?.length ?? 0;
}

describe('the XML for build servers', () => {
  /** Chromium's own XML parser, which reports what is not well-formed as an element of its own. */
  async function parsed(text: string): Promise<Xml> {
    await openPage('about:blank');
    return page.evaluate<Xml>(`(() => {
      const told = (element) => ({
        name: element.nodeName,
        attributes: Object.fromEntries([...element.attributes].map((one) => [one.name, one.value])),
        children: [...element.children].map(told),
        text: [...element.childNodes].filter((one) => one.nodeType === 3).map((one) => one.data).join(''),
      });
      return told(new DOMParser().parseFromString(${JSON.stringify(text)}, 'application/xml').documentElement);
    })()`);
  }

  it('is valid, whatever a drill is called and a controller said', async () => {
    const drill = drillOf({ name: 'a <b> & "c" \u0001', rules: ['respond', 'fire'], expectations: [] });
    const root = await parsed(reportJunit([...SEVERAL, heldVerdict({ drill })], MADE));
    expect(schemaProblems(root)).toEqual([]);
    expect(root.children.map(({ attributes: { id } }) => id)).toEqual(['0', '1', '2', '3']);
    expect(root.children[3]?.attributes).toMatchObject({ name: 'a <b> & "c" \ufffd' });
  });

  it('counts in each suite what stands in it', async () => {
    const root = await parsed(reportJunit(SEVERAL, MADE));
    for (const suite of root.children) {
      const cases = suite.children.filter((child) => child.name === 'testcase');
      const count = (kind: string) => cases.filter((one) => one.children[0]?.name === kind).length;
      expect(suite.attributes).toMatchObject({
        tests: String(cases.length),
        failures: String(count('failure')),
        errors: String(count('error')),
        skipped: String(count('skipped')),
      });
    }
  });

  it('brings a controller’s last lines through unchanged', async () => {
    const root = await parsed(reportJunit([hungVerdict()], MADE));
    const last = root.children[0]?.children.at(-1);
    expect(last?.text).toContain('panic at <state> & "hold" ]]></system-err>');
  });

  it('is held to a check that would notice', async () => {
    const text = reportJunit([heldVerdict()], MADE);
    const wrong = [
      text.replace(' hostname="localhost"', ''),
      text.replace('12:34:56"', '12:34:56Z"'),
      text.replace('<system-err/>', ''),
      text.replace('type="not exercised"', 'type="x" why="y"'),
      text.replace('<properties>', '<!-- --><extra/><properties>'),
    ];
    for (const one of wrong) {
      expect(one).not.toBe(text);
      expect(schemaProblems(await parsed(one))).not.toEqual([]);
      await page.context().close();
    }
    await openPage('about:blank');
  });
});
