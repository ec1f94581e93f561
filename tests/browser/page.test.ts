/** The page in a real Chromium: readable by everybody, reachable by keyboard, right on a phone. */
import { gzipSync } from 'node:zlib';
import type { BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { violations } from './harness/axe.ts';
import { shownText } from './harness/browser.ts';
import type { StandIn } from './harness/server.ts';
import { openStage, type Stage, watchErrors } from './harness/stage.ts';
import { tellStory } from './harness/story.ts';
import { troubled } from './harness/troubled.ts';

let stage: Stage;
let bench: StandIn;
let page: Page;
let errors: string[];

beforeAll(async () => {
  stage = await openStage();
});

afterAll(() => stage.close());

beforeEach(async () => {
  bench = await stage.startBench(tellStory(360));
  errors = [];
});

afterEach(async () => {
  await page.context().close();
  await bench.close();
  expect(errors).toEqual([]);
});

async function openPage(width: number, options: BrowserContextOptions = {}): Promise<void> {
  const context = await stage.browser.newContext({ viewport: { width, height: 844 }, ...options });
  page = await context.newPage();
  watchErrors(page, (text) => errors.push(text));
  await page.goto(bench.url);
  await page.locator('.picture').waitFor();
}

it('says that nothing is recorded, and so nothing is released, for as long as that is so', async () => {
  const recordTrouble = 'The record cannot be written (full): make room on the disk.';
  bench.snapshot = { ...bench.snapshot, recordTrouble };
  await openPage(390);
  const note = page.getByText('Nothing is recorded, so nothing is released.');
  await note.waitFor();
  expect(await note.textContent()).toContain(recordTrouble);
  bench.snapshot = { ...bench.snapshot, recordTrouble: null };
  await note.waitFor({ state: 'detached' });
});

describe('readable by everybody', () => {
  for (const width of [390, 1280]) {
    it(`has nothing that axe objects to, ${width} px wide, light and dark`, async () => {
      await openPage(width);
      expect(await violationsInBoth()).toEqual([]);
    });

    it(`nor when everything is wrong and open, ${width} px wide, light and dark`, async () => {
      bench.snapshot = troubled(bench.snapshot);
      await openPage(width);
      bench.refusal = { status: 422, detail: 'a release needs a rate' };
      await page.getByRole('button', { name: 'Release gas', exact: true }).last().click();
      await page.getByText('a release needs a rate').waitFor();
      await page.locator('[data-opens="faults part coil-a"]').click();
      await page.locator('.kind input[value="offset"]').check();
      await page.locator('[data-opens="output trouble"]').click();
      for (const summary of await page.locator('summary').all()) await summary.click();
      expect(await violationsInBoth()).toEqual([]);
      // The browser itself reports the refused request.
      expect(errors.splice(0)).toHaveLength(1);
    });
  }

  it('keeps the caution in sight wherever it is scrolled to', async () => {
    await openPage(390);
    for (const at of ['0', '1200', 'document.body.scrollHeight']) {
      await page.evaluate(`scrollTo(0, ${at})`);
      const box = await page.getByText('Simulation and training only.').boundingBox();
      expect(box?.y).toBeGreaterThanOrEqual(0);
      expect(box?.y).toBeLessThan(100);
    }
  });

  it('has no sideways scrolling from a small phone to a projector, connected or not', async () => {
    const fits = async (): Promise<void> => {
      for (const width of [320, 390, 700, 1000, 1280, 1920]) {
        await page.setViewportSize({ width, height: 844 });
        expect(await scrollWidth(), `${width} px`).toBeLessThanOrEqual(width);
      }
    };
    bench.streamDown = true;
    await openPage(1280);
    await page.getByRole('button', { name: 'Release gas (no connection)', exact: true }).last().waitFor();
    await fits();
    bench.streamDown = false;
    await page.getByRole('button', { name: 'Release gas', exact: true }).last().waitFor();
    await page.locator('[data-opens="faults part coil-b"]').click();
    await fits();
    await page.locator('[data-opens="belief coil-b"]').click();
    await fits();
    errors = errors.filter((error) => !error.includes('WebSocket'));
  });

  it('says lamps in words, and lets none flash where motion is not wanted', async () => {
    await openPage(1280, { reducedMotion: 'reduce' });
    expect(await shownText(page.locator('[data-sensor=coil-a]'))).toContain('red, 2 flashes a second: gas');
    expect(await animationOfLamp()).toBe('none');
  });

  it('flashes a lamp at the rate it tells, where motion is welcome', async () => {
    await openPage(1280, { reducedMotion: 'no-preference' });
    expect(await animationOfLamp()).toBe('flash 0.5s');
  });
});

async function violationsInBoth(): Promise<readonly string[]> {
  const found: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    found.push(...(await violations(page)));
  }
  return found;
}

function scrollWidth(): Promise<number> {
  return page.evaluate<number>('document.documentElement.scrollWidth');
}

function animationOfLamp(): Promise<string> {
  return page.evaluate<string>(`(() => {
    const style = getComputedStyle(document.querySelector('[data-sensor=coil-a] .lamp-lens'));
    return style.animationName === 'none' ? 'none' : style.animationName + ' ' + style.animationDuration;
  })()`);
}

describe('reachable by keyboard', () => {
  it('reaches every control by Tab, and shows where it is', async () => {
    await openPage(1280);
    // A group of radio buttons is one stop: the arrows go on within it.
    const wanted = await page.evaluate<number>(`(() => {
      const all = [...document.querySelectorAll('a, button, input, select, summary, [tabindex="0"]')];
      const seen = all.filter((one) => one.checkVisibility());
      const radios = seen.filter((one) => one.type === 'radio');
      window.wanted = new Set(seen.filter((one) => one.type !== 'radio' || one.checked));
      return window.wanted.size * (radios.length > 0 ? 1 : 0);
    })()`);
    const unseen: string[] = [];
    const hidden: string[] = [];
    for (let stop = 0; stop < wanted + 2; stop += 1) {
      await page.keyboard.press('Tab');
      const plain = await page.evaluate<string | null>(`(() => {
        const here = document.activeElement;
        window.wanted.delete(here);
        const face = here.type === 'radio' ? here.nextElementSibling : here;
        const style = getComputedStyle(face);
        return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 ? null : here.outerHTML;
      })()`);
      if (plain !== null && !plain.startsWith('<body')) unseen.push(plain);
      const beneath = await page.evaluate<string | null>(`(() => {
        const here = document.activeElement;
        const caution = document.querySelector('.caution');
        if (here === document.body || caution.contains(here) || here.matches('.skip, main')) return null;
        const { top } = (here.type === 'radio' ? here.parentElement : here).getBoundingClientRect();
        return top >= caution.getBoundingClientRect().bottom - 1 ? null : here.outerHTML;
      })()`);
      if (beneath !== null) hidden.push(beneath);
    }
    const left = await page.evaluate<readonly string[]>('[...window.wanted].map((one) => one.outerHTML)');
    expect(wanted).toBeGreaterThan(30);
    expect(left).toEqual([]);
    expect(unseen).toEqual([]);
    expect(hidden).toEqual([]);
  });

  it('asks why of whatever is decided, one at a time, and closes with Escape', async () => {
    await openPage(390);
    const fan = page.locator('[data-opens="output fan"]');
    await fan.focus();
    await page.keyboard.press('Enter');
    expect(await shownText(page.locator('.chain'))).toMatch(
      /fan is on because\s+coil-a reports gas .*\s+coil-b reports gas .*\s+it lasts until 5 min after/u,
    );
    expect(await fan.getAttribute('aria-expanded')).toBe('true');
    const chains = [
      ['phase', /The mitigation is mitigating because\s+it came to this because .*\s+coil-a reports gas/u],
      ['belief coil-b', /coil-b is gas because\s+line main, unit 12 answered .*the setpoint is 20 %LFL/su],
      ['airflow', /Airflow is proven because\s+the fan is commanded on[\s\S]*the fan moves 900 m3\/h/u],
    ] as const;
    for (const [id, says] of chains) {
      await page.locator(`[data-opens="${id}"]`).focus();
      await page.keyboard.press('Enter');
      expect(await page.locator('.chain').count()).toBe(1);
      expect(await shownText(page.locator('.chain'))).toMatch(says);
    }
    await page.keyboard.press('Escape');
    expect(await page.locator('.chain').count()).toBe(0);
    expect(await page.evaluate('document.activeElement.dataset.opens')).toBe('airflow');
  });

  it('goes straight to the view from the top of the page', async () => {
    await openPage(1280);
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    expect(await page.evaluate('document.activeElement.textContent')).toContain('Call cooling');
  });
});

describe('what it shows', () => {
  it('shows each station of the ring with its values', async () => {
    await openPage(1280);
    const station = (name: string) => shownText(page.getByRole('region', { name, exact: true }));
    expect(await station('Gas')).toMatch(/Cabinet\s+27\.\d %LFL/u);
    expect(await station('Sensors')).toMatch(/coil-a[\s\S]*27\.\d %LFL/u);
    expect(await station('Wire')).toMatch(/coil-a\s+heard just now line main, unit 11/u);
    expect(await station('Belief')).toMatch(/coil-b\s+27\.\d %LFL\s+gas[\s\S]*coil-b reports gas/u);
    expect(await station('Mitigation')).toMatch(/Mitigating\s+why\?\s+since 0:03:30, for 2 min 30 s/u);
    expect(await station('Commands')).toMatch(/fan\s+on[\s\S]*dampers\s+on[\s\S]*heat\s+off/u);
    expect(await station('Equipment')).toMatch(/900 m3\/h\s+proven/u);
  });

  it('counts the hold down, and says when it waits for airflow', async () => {
    const story = tellStory(700);
    bench.record = [...story.events];
    bench.snapshot = story.snapshot;
    await openPage(1280);
    const hold = page.locator('.hold');
    expect(await shownText(hold)).toMatch(/01:4\d hold left\s+The hold runs/u);
    const left = await page.locator('.hold-left').getAttribute('width');
    expect(Number(left)).toBeCloseTo(35.67, 2);
    if (story.snapshot.supervisor === null) throw new Error('the story has a supervisor');
    bench.snapshot = { ...story.snapshot, supervisor: { ...story.snapshot.supervisor, holdRunning: false } };
    await page.getByText('The hold waits for airflow.').waitFor();
  });

  it('shows no number for a sensor that does not answer', async () => {
    bench.snapshot = troubled(bench.snapshot);
    await openPage(1280);
    const belief = page.locator('[data-belief=coil-b]');
    expect(await shownText(belief)).toMatch(/^coil-b\s+not known\s+why\?\s+coil-b has not answered/u);
    await belief.getByRole('button').click();
    expect(await shownText(page.locator('.chain'))).toContain('no reading any longer');
    expect(await shownText(page.locator('.ring-out'))).not.toContain('3.2 %LFL');
  });

  it('shows what was asked on the line, by shape and in words', async () => {
    bench.snapshot = troubled(bench.snapshot);
    await openPage(1280);
    const wire = page.locator('[data-wire=coil-b]');
    expect(await wire.getByRole('img').getAttribute('aria-label')).toBe(
      'Last questions: 1 × answered, 1 × no answer, 1 × an exception, 1 × a broken answer, 1 × asked, not answered yet',
    );
    const shapes = await wire.locator('.poll').evaluateAll((all) => all.map((one) => one.getAttribute('d')));
    expect(new Set(shapes).size).toBe(5);
    expect(await shownText(wire)).toContain('line main, address 12');
  });

  it('speaks SI or inch-pound, and keeps the choice', async () => {
    await openPage(1280);
    const gas = page.locator('.station-gas');
    expect(await shownText(gas)).toContain('10 g/s');
    await page.getByRole('radio', { name: 'inch-pound' }).check({ force: true });
    expect(await shownText(gas)).toContain('1.32 lb/min');
    expect(await shownText(page.locator('.station-equipment'))).toContain('530 cfm');
    await page.reload();
    await page.locator('.picture').waitFor();
    expect(await shownText(gas)).toContain('1.32 lb/min');
    expect(await shownText(gas)).toContain('27.3 %LFL');
  });

  it('says plainly what runs elsewhere, and shows the rest', async () => {
    bench.snapshot = { ...bench.snapshot, supervisor: null };
    await openPage(1280);
    expect(await page.getByText('The controller runs elsewhere').count()).toBe(2);
    const handsOnTime = page.locator('.clock').locator('button, input');
    expect(await handsOnTime.count()).toBe(7);
    expect(await shownText(page.locator('.station-gas'))).toContain('27.3 %LFL');
    bench.snapshot = { ...tellStory(360).snapshot, world: null, speed: 20 };
    await page.locator('.station-gas .elsewhere').waitFor();
    expect(await handsOnTime.count()).toBe(0);
    expect(await shownText(page.locator('.clock'))).toMatch(/Bench time .*20×$/u);
    expect(await shownText(page.locator('.station-belief'))).toContain('27.2 %LFL');
    expect(await shownText(page.locator('[data-sensor=coil-a]'))).toContain(
      'its lamp cannot be seen from here',
    );
  });

  it('draws a lane a sensor, with curves, and a band an output', async () => {
    await openPage(1280);
    expect(await page.locator('.lane-names').count()).toBe(3);
    const stretches = (name: string) =>
      page.evaluate<number>(
        `Math.max(...[...document.querySelectorAll('.tile .${name}')]
          .map((one) => one.getAttribute('d').split('M').length - 1))`,
      );
    expect(await stretches('lane-reported')).toBe(2);
    expect(await stretches('lane-true')).toBe(3);
    expect(await page.locator('.bands .band-on').count()).toBe(1);
    expect(await page.getByRole('img').getAttribute('aria-label')).toMatch(
      /coil-a truly 27\.3 %LFL, reports 27/u,
    );
    await page.getByRole('radio', { name: '5 min', exact: true }).click();
    // A little more is drawn than the window shows.
    expect(await page.locator('.tick-word').allTextContents()).toEqual(
      expect.arrayContaining(['0:02:00', '0:03:00', '0:04:00', '0:05:00', '0:06:00']),
    );
  });

  it('loads nothing from elsewhere, and less than 60 kB of script', async () => {
    const requests: string[] = [];
    const context = await stage.browser.newContext();
    page = await context.newPage();
    page.on('request', (request) => requests.push(request.url()));
    await page.goto(bench.url);
    await page.locator('.picture').waitFor();
    const scripts = requests.filter((url) => url.endsWith('.js'));
    const sizes = await Promise.all(
      scripts.map(async (url) => gzipSync(await (await fetch(url)).arrayBuffer()).byteLength),
    );
    expect(requests.every((url) => url.startsWith(bench.url))).toBe(true);
    // Other views come when they are asked for.
    expect(scripts.length).toBeGreaterThan(0);
    expect(scripts.filter((url) => /drills|polls|about/u.test(url))).toEqual([]);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(60_000);
  });
});
