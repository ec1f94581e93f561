/** The timeline in a real Chromium: moved by hand, wheel, finger and key; read at a moment; saved as files. */
import { readFile } from 'node:fs/promises';
import type { BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { foldAll, NO_HISTORY } from '../../src/page/data/history.ts';
import { inForce } from '../../src/page/data/timed.ts';
import { readCsv, seriesIn } from '../helpers/csv.ts';
import { shownText } from './harness/browser.ts';
import type { StandIn } from './harness/server.ts';
import { openStage, type Stage, watchErrors } from './harness/stage.ts';
import { tellStory } from './harness/story.ts';
import { clockMs, windowMs } from './harness/window.ts';

const story = tellStory(900);
const history = foldAll(NO_HISTORY, story.events);
const MINUTE_MS = 60_000;

let stage: Stage;
let bench: StandIn;
let page: Page;
let errors: string[];

beforeAll(async () => {
  stage = await openStage();
});

afterAll(() => stage.close());

beforeEach(async () => {
  bench = await stage.startBench(story);
  errors = [];
});

afterEach(async () => {
  await page.context().close();
  await bench.close();
  expect(errors).toEqual([]);
});

async function openPage(options: BrowserContextOptions = {}): Promise<void> {
  page = await (
    await stage.browser.newContext({ viewport: { width: 1280, height: 900 }, ...options })
  ).newPage();
  watchErrors(page, (text) => errors.push(text));
  await page.goto(bench.url);
  await page.getByText('live', { exact: true }).waitFor();
  await plot().scrollIntoViewIfNeeded();
}

const plot = () => page.locator('.plot-window');
const button = (name: string) => page.getByRole('button', { name, exact: true });

async function untilWindow(fromMs: number, spanMs: number): Promise<void> {
  await vi.waitFor(async () => {
    const now = await windowMs(page);
    // A pixel or two of text, at this zoom.
    expect(Math.abs(now.spanMs - spanMs)).toBeLessThan(0.02 * spanMs);
    expect(Math.abs(now.fromMs - fromMs)).toBeLessThan(0.02 * spanMs);
  });
}

async function isFollowing(): Promise<boolean> {
  return (await button('Follow now').getAttribute('aria-pressed')) === 'true';
}

describe('the window', () => {
  it('is moved and zoomed by keys, and follows again from its end on', async () => {
    await openPage();
    await untilWindow(5 * MINUTE_MS, 10 * MINUTE_MS);
    await plot().focus();
    await page.keyboard.press('Shift+ArrowLeft');
    await untilWindow(0, 10 * MINUTE_MS);
    expect(await isFollowing()).toBe(false);
    await page.keyboard.press('+');
    await untilWindow(5 * MINUTE_MS - (10 / 3) * MINUTE_MS, (20 / 3) * MINUTE_MS);
    await page.keyboard.press('-');
    await page.keyboard.press('Home');
    await untilWindow(0, 10 * MINUTE_MS);
    await page.keyboard.press('End');
    await untilWindow(5 * MINUTE_MS, 10 * MINUTE_MS);
    expect(await isFollowing()).toBe(true);
  });

  it('is moved and zoomed by buttons, from a stretch of seconds to all that is kept', async () => {
    await openPage();
    await button('Earlier').click();
    await untilWindow(0, 10 * MINUTE_MS);
    await button('Follow now').click();
    for (let press = 0; press < 12; press += 1) await button('Shorter stretch of time').click();
    await untilWindow(14.5 * MINUTE_MS, MINUTE_MS / 2);
    await page.getByRole('group', { name: 'Shown', exact: true }).getByLabel('all').check();
    await untilWindow(-5 * MINUTE_MS, 20 * MINUTE_MS);
    await button('Longer stretch of time').click();
    await untilWindow(-15 * MINUTE_MS, 30 * MINUTE_MS);
  });

  it('is dragged by the mouse, zoomed by wheel with Ctrl, and leaves the wheel alone to the page', async () => {
    await openPage();
    const box = await plot().boundingBox();
    if (box === null) throw new Error('the plot is not there');
    await page.mouse.move(box.x + 100, box.y + 80);
    await page.mouse.down();
    await page.mouse.move(box.x + 100 + box.width / 4, box.y + 80, { steps: 5 });
    await page.mouse.up();
    await untilWindow(2.5 * MINUTE_MS, 10 * MINUTE_MS);
    await page.mouse.move(box.x + box.width / 2, box.y + 80);
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -Math.log(2) / 0.004);
    await page.keyboard.up('Control');
    await untilWindow(5 * MINUTE_MS, 5 * MINUTE_MS);
    const before = await page.evaluate<number>('scrollY');
    await page.mouse.wheel(0, 60);
    await vi.waitFor(async () => {
      expect(await page.evaluate<number>('scrollY')).not.toBe(before);
    });
    await untilWindow(5 * MINUTE_MS, 5 * MINUTE_MS);
  });

  it('is moved by one finger and zoomed by two, and lets the page scroll beneath a finger', async () => {
    await openPage({ viewport: { width: 390, height: 844 }, hasTouch: true });
    const box = await plot().boundingBox();
    if (box === null) throw new Error('the plot is not there');
    const session = await page.context().newCDPSession(page);
    const touch = async (type: 'touchStart' | 'touchMove' | 'touchEnd', ...across: number[]) => {
      const touchPoints = across.map((x, id) => ({ x: box.x + x, y: box.y + 80, id }));
      await session.send('Input.dispatchTouchEvent', { type, touchPoints });
    };
    const touchAction = "getComputedStyle(document.querySelector('.plot-window')).touchAction";
    expect(await page.evaluate(touchAction)).toBe('pan-y');
    await touch('touchStart', 40);
    for (let x = 40; x <= 40 + box.width / 2; x += 10) await touch('touchMove', x);
    await touch('touchEnd');
    await vi.waitFor(async () => {
      expect(await isFollowing()).toBe(false);
    });
    const moved = await windowMs(page);
    expect(moved.fromMs).toBeLessThan(MINUTE_MS);
    await touch('touchStart', 40, 80);
    for (let x = 80; x <= 160; x += 10) await touch('touchMove', 40, x);
    await touch('touchEnd');
    await vi.waitFor(async () => {
      const { spanMs } = await windowMs(page);
      expect(spanMs / moved.spanMs).toBeGreaterThan(0.25);
      expect(spanMs / moved.spanMs).toBeLessThan(0.45);
    });
  });

  it('draws no curve anew while it is moved a little', async () => {
    await openPage();
    await button('Earlier').click();
    await page.evaluate(`(() => {
      window.redrawn = 0;
      const curves = (all) => all.filter((one) => one.target.closest('.tile') !== null);
      new MutationObserver((all) => { window.redrawn += curves(all).length; })
        .observe(document.querySelector('.plot-window .picture'), { subtree: true, attributes: true, attributeFilter: ['d'] });
    })()`);
    const before = await windowMs(page);
    await plot().focus();
    await page.keyboard.press('ArrowRight');
    await vi.waitFor(async () => {
      expect((await windowMs(page)).fromMs - before.fromMs).toBeGreaterThan(0.9 * MINUTE_MS);
    });
    expect(await page.evaluate<number>('window.redrawn')).toBe(0);
  });
});

describe('a moment', () => {
  const moment = 5.5 * MINUTE_MS;

  it('is read under the pointer, in every lane and band, beside them', async () => {
    await openPage();
    const box = await plot().boundingBox();
    await plot().hover({ position: { x: Math.round((box?.width ?? 0) * 0.05), y: 60 } });
    await page.locator('.readout-time', { hasText: '0:05:' }).waitFor();
    const atMs = clockMs(await page.locator('.readout-time').textContent());
    const value = inForce(history.gas.get('coil-a') ?? [], atMs)?.value ?? Number.NaN;
    const text = await shownText(page.locator('.readout-sensor').first());
    expect(Number(/true\s+([\d.]+)/u.exec(text)?.[1])).toBeCloseTo(value, 0);
    expect(await page.locator('.readout-band').allInnerTexts()).toEqual(['on', 'off', 'off', 'off']);
    const readout = await page.locator('.readout-sensor').first().boundingBox();
    expect(readout?.x).toBeGreaterThanOrEqual((box?.x ?? 0) + (box?.width ?? 0));
  });

  it('is chosen by keyboard, and told in words', async () => {
    await openPage();
    const slider = page.getByRole('slider', { name: 'Moment on the timeline' });
    await slider.focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('PageUp');
    const told = await slider.getAttribute('aria-valuetext');
    expect(told).toMatch(/^0:0(?:5:5|6:0)\d; coil-a truly [\d.]+ %LFL, reports gas, [\d.]+ %LFL; .*fan on$/u);
    expect(await page.locator('.readout-time').textContent()).toBe(told?.split(';')[0]);
    await page.keyboard.press('End');
    expect(await page.locator('.readout-time').textContent()).toBe('now');
  });

  it('may be an event: steps go from one mark to the next, and say what happened', async () => {
    await openPage();
    await button('Event before').click();
    await page.locator('.moment-words', { hasText: 'Mitigation went from holding to running' }).waitFor();
    for (let press = 0; press < 3; press += 1) await button('Event before').click();
    const words = page.locator('.moment-words');
    expect(await shownText(words)).toContain('0:03:30 coil-a reports gas');
    // It was out of sight: the window went there.
    expect((await windowMs(page)).fromMs).toBeLessThan(3.5 * MINUTE_MS);
    expect(await page.getByRole('slider').getAttribute('aria-valuetext')).toContain('coil-a reports gas');
    await button('Event after').click();
    expect(await shownText(words)).toContain('The release at cabinet ended');
  });

  it('stays where it was chosen while the bench goes on', async () => {
    bench.snapshot = { ...story.snapshot, paused: false, speed: 20 };
    await openPage();
    const box = await plot().boundingBox();
    await plot().click({ position: { x: (box?.width ?? 0) / 2, y: 60 } });
    await page.mouse.move(0, 0);
    const chosen = await page.locator('.readout-time').textContent();
    bench.snapshot = { ...bench.snapshot, nowMs: bench.snapshot.nowMs + MINUTE_MS };
    await vi.waitFor(async () => {
      expect((await windowMs(page)).fromMs).toBeGreaterThan(moment);
    }, 15_000);
    expect(
      Math.abs(clockMs(await page.locator('.readout-time').textContent()) - clockMs(chosen)),
    ).toBeLessThan(2000);
  });
});

describe('what is saved', () => {
  async function saved(word: string): Promise<{ readonly name: string; readonly content: Buffer }> {
    const waiting = page.waitForEvent('download');
    await page.getByRole('button', { name: new RegExp(`^Save .*${word}$`, 'u') }).click();
    const download = await waiting;
    return { name: download.suggestedFilename(), content: await readFile(await download.path()) };
  }

  it('is a drawing that needs nothing else, light on any screen', async () => {
    await openPage({ colorScheme: 'dark' });
    const { name, content } = await saved('SVG');
    expect(name).toBe('tide-street-library-archive-room-0-15-00.svg');
    const text = content.toString('utf8');
    const shape = await page.evaluate<Record<string, unknown>>(`(() => {
      const svg = new DOMParser().parseFromString(${JSON.stringify(text)}, 'application/xml').documentElement;
      return {
        root: svg.localName,
        space: svg.namespaceURI,
        ground: svg.querySelector('rect').getAttribute('fill'),
        curves: svg.querySelectorAll('path[d^=M]').length,
        words: [...svg.querySelectorAll('text')].map((one) => one.textContent),
      };
    })()`);
    expect(shape).toMatchObject({
      root: 'svg',
      space: 'http://www.w3.org/2000/svg',
      ground: 'rgb(255, 255, 255)',
    });
    expect(shape['curves']).toBeGreaterThan(20);
    expect(shape['words']).toEqual(
      expect.arrayContaining([
        'Tide Street Library, archive room',
        'coil-a',
        'compressor b',
        'setpoint 20 %LFL',
        'release, test gas',
        'mitigation changed',
      ]),
    );
    // Of marks only those in the window are explained: the run began before it.
    expect(shape['words']).not.toContain('start or stop');
    expect(text).toContain('Bench time 0:05:00 to 0:15:00');
    expect(text).toContain(bench.rig.setpoint.source);
    expect(text).toContain('Simulation and training only. Not a safety device');
    expect(text).not.toMatch(/class=|style=|var\(|<script|href/u);
  });

  it('is an image of the same drawing, twice as fine', async () => {
    await openPage();
    const drawing = (await saved('SVG')).content.toString('utf8');
    const { name, content } = await saved('PNG');
    expect(name).toMatch(/\.png$/u);
    expect([...content.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    const [, width, height] = /<svg width="(\d+)" height="(\d+)"/u.exec(drawing) ?? [];
    expect(content.readUInt32BE(16)).toBe(2 * Number(width));
    expect(content.readUInt32BE(20)).toBe(2 * Number(height));
    // Painted: a white sheet of this size packs into a few kB.
    expect(content.byteLength).toBeGreaterThan(20_000);
  });

  it('is a table that, read back, is the history', async () => {
    await openPage();
    const { name, content } = await saved('CSV');
    const rows = readCsv(content.toString('utf8'));
    expect(name).toMatch(/\.csv$/u);
    for (const id of ['coil-a', 'coil-b', 'grille']) {
      const points = history.gas.get(id)?.slice() ?? [];
      expect(points.length).toBeGreaterThan(5);
      expect(seriesIn(rows, `true gas ${id}`)).toEqual(points.map(({ atMs, value }) => [atMs, value]));
    }
    expect(rows.filter(([, , signal]) => signal === 'event mitigation.changed')).toHaveLength(
      history.moments.slice().filter(({ id }) => id === 'mitigation.changed').length,
    );
  });

  it('is on paper the whole picture at the width of the sheet', async () => {
    await openPage();
    await page.emulateMedia({ media: 'print' });
    await page.evaluate("dispatchEvent(new Event('beforeprint'))");
    const printed = page.locator('.chart-printed .picture');
    await printed.waitFor();
    expect(await printed.locator('.lane').count()).toBe(3);
    expect(await plot().isVisible()).toBe(false);
    await page.evaluate("dispatchEvent(new Event('afterprint'))");
    expect(await printed.count()).toBe(0);
  });
});
