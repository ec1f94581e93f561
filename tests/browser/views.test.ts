/** Every view in a real Chromium: by its address, in both themes, from phone to projector; and the drills' own. */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { freshFolder } from '../helpers/bench-process.ts';
import { violations } from './harness/axe.ts';
import { type BuiltPage, buildPage, launchBrowser, shownText } from './harness/browser.ts';
import { someDrills } from './harness/drills.ts';
import { faintTexts, smallTargets } from './harness/measure.ts';
import { type StandIn, startStandIn } from './harness/server.ts';
import { tellStory } from './harness/story.ts';
import { troubled } from './harness/troubled.ts';

let built: BuiltPage;
let browser: Browser;
let bench: StandIn;
let page: Page;

beforeAll(async () => {
  [built] = await Promise.all([buildPage(), openBrowser()]);
  const story = tellStory(360);
  bench = await startStandIn(built.folder, story.snapshot);
  bench.record = [...story.events];
  bench.drills = someDrills();
});

afterAll(async () => {
  await browser.close();
  await bench.close();
  await built.remove();
});

beforeEach(async ({ task }) => {
  bench.snapshot = { ...troubled(tellStory(360).snapshot), drill: someDrills().report };
  bench.asked.length = 0;
  // A browser that has stopped drawing draws nothing at the next try either.
  if ((task.result?.retryCount ?? 0) > 0) {
    await browser.close();
    await openBrowser();
  }
});

async function openBrowser(): Promise<void> {
  browser = await launchBrowser();
  page = await (await browser.newContext({ viewport: { width: 1280, height: 844 } })).newPage();
}

/** A loaded machine draws slowly. */
const WITHIN = { timeout: 15_000 };

/** What must be there before a view is looked at. */
const VIEWS = {
  bench: '.picture',
  drills: '.verdict-word',
  about: '.about dl',
} as const;

async function show(view: keyof typeof VIEWS): Promise<void> {
  await page.goto(`${bench.url}#/${view}`);
  await page.locator(VIEWS[view]).first().waitFor();
}

for (const view of ['bench', 'drills', 'about'] as const) {
  describe(`the view ${view}`, () => {
    for (const colorScheme of ['light', 'dark'] as const) {
      it(`has nothing that axe objects to, no faint text and no small target, in the ${colorScheme}`, async () => {
        await page.emulateMedia({ colorScheme });
        await page.setViewportSize({ width: 1280, height: 844 });
        await show(view);
        if (view === 'bench') await page.locator('[data-opens="faults part coil-a"]').click();
        expect(await violations(page)).toEqual([]);
        expect(await faintTexts(page)).toEqual([]);
        expect(await smallTargets(page)).toEqual([]);
      });
    }

    it('never scrolls sideways, from a small phone to a projector, and its targets stay big', async () => {
      await show(view);
      for (const width of [320, 390, 700, 1000, 1280, 1920]) {
        await page.setViewportSize({ width, height: 844 });
        // The picture is drawn anew for its new width.
        await vi.waitFor(async () => {
          const shown = await page.evaluate('document.documentElement.scrollWidth');
          expect([width, shown]).toEqual([width, width]);
        }, WITHIN);
        expect(await smallTargets(page)).toEqual([]);
      }
    });
  });
}

describe('drills', () => {
  beforeEach(async () => {
    await page.setViewportSize({ width: 1280, height: 844 });
    await show('drills');
  });

  it('says how the drill was judged, rule by rule, with margin and reason', async () => {
    const verdict = await shownText(page.locator('.verdict'));
    expect(verdict).toMatch(/^Broken\s+The power step was skipped\./u);
    expect(verdict).toMatch(/ask\s+held\s+8\.4 s\s+0:00:05 coil-b/u);
    expect(verdict).toMatch(/recheck\s+broken\s+-12 s\s+0:07:00 coil-a\s+the compressor ran while/u);
    expect(verdict).toMatch(/fire\s+not exercised\s+–/u);
    expect(verdict).toMatch(/at 15 min, compressor\.a\s+held/u);
  });

  it('shows the steps of the one that plays, and stops it', async () => {
    const { report } = someDrills();
    const steps = report.steps.map((step, index) => ({ ...step, done: index === 0 }));
    const began = {
      beganAtMs: bench.snapshot.nowMs - 60_000,
      state: 'playing',
      verdict: null,
      steps,
    } as const;
    bench.snapshot = { ...bench.snapshot, drill: { ...report, ...began } };
    await page.getByRole('button', { name: 'Stop the drill' }).waitFor();
    expect(await page.locator('.drill-steps .is-done').count()).toBe(1);
    expect(await shownText(page.locator('.on-now .progress'))).toBe('0:01:00 of 25 min');
    await page.getByRole('button', { name: 'Stop the drill' }).click();
    await untilAsked('/api/v1/drill', 'DELETE');
  });

  it('shows no progress of one that was stopped, however long ago', async () => {
    const { report } = someDrills();
    const began = { beganAtMs: bench.snapshot.nowMs - 60_000, verdict: null } as const;
    for (const view of ['drills', 'bench'] as const) {
      bench.snapshot = { ...bench.snapshot, drill: { ...report, ...began, state: 'playing' } };
      await page.goto(`${bench.url}#/${view}`);
      await page.getByText('0:01:00 of 25 min').waitFor();
      bench.snapshot = { ...bench.snapshot, drill: { ...report, ...began, state: 'stopped' } };
      await page.getByText('was stopped').first().waitFor();
      expect(await page.locator('.progress').count()).toBe(0);
    }
  });

  it('plays one that fits, by its id or from a file, and says why another does not fit', async () => {
    await page.getByRole('button', { name: /^Play Gas lingers/u }).click();
    await page.getByText('2 steps done by hand are not saved. They are gone after this.').waitFor();
    await page.getByRole('button', { name: 'No', exact: true }).click();
    await untilFocused('Play Gas lingers past the hold');
    expect(bench.asked).toEqual([]);
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Yes', exact: true }).click();
    await untilAsked('/api/v1/drill', { id: 'gas-lingers' });
    await untilFocused('On the bench');
    expect(await shownText(page.locator('[data-drill="grille-wire-broken"]'))).toContain(
      'Cannot be played here: this rig has no sensor grille',
    );
    await page.getByRole('button', { name: 'Play this file' }).click();
    await page.getByText('Choose a file first.').waitFor();
    const file = { name: 'own.drill.yaml', mimeType: 'application/yaml', buffer: Buffer.from('drill: 1\n') };
    await page.locator('input[type=file]').setInputFiles(file);
    await page.getByRole('button', { name: 'Play this file' }).click();
    await page.getByRole('button', { name: 'Yes', exact: true }).click();
    await untilAsked('/api/v1/drill', { text: 'drill: 1\n' });
  });

  it('plays a file that was changed after it was chosen, once it is chosen again', async () => {
    const file = join(freshFolder(), 'own.drill.yaml');
    const entry = page.locator('input[type=file]');
    const yes = page.getByRole('button', { name: 'Yes', exact: true });
    await writeFile(file, 'drill: 1\nnam: Own\n');
    await entry.setInputFiles(file);
    await writeFile(file, 'drill: 1\nname: Own\nwhy: It was changed since.\n');
    await page.getByRole('button', { name: 'Play this file' }).click();
    await yes.click();
    await page.getByText('It has changed since it was chosen, or is gone: choose it again.').waitFor();
    expect(bench.asked).toEqual([]);
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), entry.click()]);
    // Else the same name would change nothing. Whoever goes back without a file has none.
    expect(await entry.inputValue()).toBe('');
    await yes.click();
    await page.getByText('Choose a file first.').waitFor();
    await chooser.setFiles(file);
    await yes.click();
    await untilAsked('/api/v1/drill', { text: 'drill: 1\nname: Own\nwhy: It was changed since.\n' });
  });

  it('finds a drill by its name or its reason, lessons apart, and says how many', async () => {
    expect(await page.locator('.drill-group h3').allTextContents()).toEqual(['Drills to play', 'Lessons']);
    await page.getByLabel('Find a drill').fill('BROKEN WIRE must');
    await page.getByRole('status').getByText('1 of 3 found').waitFor();
    expect(await page.locator('.drill h4').allTextContents()).toEqual(['The wire of the grille breaks']);
    await page.getByLabel('Find a drill').fill('');
    await vi.waitFor(async () => {
      expect(await page.locator('.drill').count()).toBe(3);
    });
  });

  it('saves what was done by hand as a drill file of the name it was given, and starts over', async () => {
    expect(await shownText(page.locator('.recorded'))).toContain('2 steps were done');
    await page.getByLabel('Name of the drill').fill('Leak, then silence');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as a drill file' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe('leak-then-silence.drill.yaml');
    expect(await readFile(await download.path(), 'utf8')).toBe(bench.drills?.recording.text);
    await page.getByRole('button', { name: 'See its text' }).click();
    await page.locator('.recorded-text', { hasText: 'drill: 1' }).waitFor();
    await page.getByRole('button', { name: 'Start over' }).click();
    await untilAsked('/api/v1/restart', {});
  });
});

it('offers no drill where the sensors run elsewhere, and says where to go', async () => {
  bench.snapshot = { ...bench.snapshot, world: null };
  await page.goto('about:blank');
  await page.goto(`${bench.url}#/drills`);
  await page.getByText('Drills play where the sensors run').waitFor();
  expect(await page.locator('main button:visible').count()).toBe(0);
});

it('leaves on paper what is known, and nothing that can only be pressed', async () => {
  for (let count = 0; count < 35; count += 1) {
    bench.tell({ id: 'call.changed', atMs: 360_000, fields: { call: 'fan', on: count % 2 === 0 } });
  }
  await show('bench');
  await page.locator('.event:nth-child(31)').waitFor();
  const pressed = ['.opener', '.act', '.release', '.guide', '.event:nth-child(n + 31)'];
  for (const shown of pressed) {
    expect([shown, await page.locator(`${shown}:visible`).count()]).not.toEqual([shown, 0]);
  }
  await page.emulateMedia({ media: 'print' });
  await page.evaluate('void dispatchEvent(new Event("beforeprint"))');
  for (const gone of pressed) {
    expect([gone, await page.locator(`${gone}:visible`).count()]).toEqual([gone, 0]);
  }
  for (const kept of ['.caution', '.picture', '.standing', '.event:nth-child(30)']) {
    expect([kept, await page.locator(`${kept}:visible`).count()]).not.toEqual([kept, 0]);
  }
  await page.emulateMedia({ media: 'screen' });
});

async function untilFocused(text: string): Promise<void> {
  await vi.waitFor(async () => {
    expect(await page.evaluate('document.activeElement.textContent')).toBe(text);
  });
}

async function untilAsked(path: string, body: unknown): Promise<void> {
  await vi.waitFor(() => {
    expect(bench.asked).toContainEqual({ path, body });
  });
}
