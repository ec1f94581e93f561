/** A class at a real bench, in a real Chromium: an instructor and three phones through a whole lesson. */
import { readFile } from 'node:fs/promises';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  CAUSES,
  NEXT_STEPS,
  partsOf,
  RESTARTS,
  type RigParts,
  type Solution,
} from '../../src/lesson/index.ts';
import type { ClassView } from '../../src/page/class/types.ts';
import { C } from '../../src/page/texts/class.ts';
import { F } from '../../src/page/texts/field.ts';
import { C as CHART, R, T } from '../../src/page/texts/index.ts';
import { S } from '../../src/page/texts/seat.ts';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { violations } from './harness/axe.ts';
import { launchBrowser, shownText } from './harness/browser.ts';
import { windowMs } from './harness/window.ts';

const LESSON = 'case-04-one-silent-in-a-leak';
/** Longer than a phone waits between two tries, shorter than anybody waits for a test. */
const PATIENCE_MS = 15_000;
const TOKEN = 'the-instructors-word';
const VIEWER = 'a-viewers-word';
const AUTHORIZED = { authorization: `Bearer ${TOKEN}` };
const PHONE = { width: 390, height: 844 };

let bench: BenchProcess;
let browser: Browser;
let instructor: Page;

beforeAll(async () => {
  const bus = ['--bus', 'tcp://127.0.0.1:0'];
  const tokens = ['--token', TOKEN, '--token', `viewer:${VIEWER}`];
  [bench, browser] = await Promise.all([
    startBench(['serve', '--speed', '20', '--data', freshFolder(), ...bus, ...tokens]),
    launchBrowser(),
  ]);
});

afterAll(async () => {
  await browser.close();
  await bench.stop();
});

async function openClass(): Promise<void> {
  await fetch(`${bench.page}/api/v1/class`, { method: 'DELETE', headers: AUTHORIZED });
  instructor = await openPage(`?token=${TOKEN}#/class`, { width: 1280, height: 800 });
  await press(instructor, C.open);
  await instructor.locator('.join-code').waitFor();
}

async function closePages(): Promise<void> {
  await Promise.all(browser.contexts().map((context) => context.close()));
}

async function openPage(path: string, viewport: { width: number; height: number }): Promise<Page> {
  const page = await (await browser.newContext({ viewport })).newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  await page.goto(`${bench.page}/${path}`);
  return page;
}

async function press(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name, exact: true }).click();
}

async function room(): Promise<ClassView> {
  const response = await fetch(`${bench.page}/api/v1/class`, { headers: AUTHORIZED });
  const { class: open } = (await response.json()) as { readonly class: ClassView | null };
  if (open === null) throw new Error('no class is open');
  return open;
}

/** A phone that has joined: as after scanning the square, with the code filled in, here as people type it. */
async function phone(name: string): Promise<Page> {
  const { code } = await room();
  const page = await openPage(`join/?code=${code.toLowerCase().replace(/^.../u, '$&-')}`, PHONE);
  await page.getByLabel(S.yourName).fill(name);
  await press(page, S.joinDo);
  await page.getByText(S.gathered).waitFor();
  return page;
}

async function begin(phones: readonly Page[]): Promise<ClassView['lessons'][number]> {
  const lesson = (await room()).lessons.find(({ id }) => id === LESSON);
  if (lesson === undefined) throw new Error(`no lesson ${LESSON}`);
  await press(instructor, `${C.start} ${lesson.title}`);
  for (const one of phones) await one.getByRole('heading', { name: lesson.title }).waitFor();
  return lesson;
}

async function choose(page: Page, words: readonly string[]): Promise<void> {
  for (const word of words) await page.getByLabel(word, { exact: true }).check();
}

async function answer(page: Page, given: Solution, whereWords: readonly string[]): Promise<void> {
  await page.getByRole('button', { name: S.tabs.answer }).click();
  const next = (): Promise<void> => page.locator('.question[open] .next-question').click();
  const first = page.locator('.question summary').first();
  if ((await page.locator('.question[open]').count()) === 0) await first.click();
  await choose(
    page,
    given.causes.map((id) => CAUSES[id].words),
  );
  await next();
  await choose(page, whereWords);
  await next();
  await choose(
    page,
    given.next.slice(0, 1).map((id) => NEXT_STEPS[id]),
  );
  await next();
  await choose(
    page,
    given.restart.slice(0, 1).map((id) => RESTARTS[id]),
  );
  await page.getByRole('button', { name: /^Send/u }).click();
  await page.getByText(S.sent).waitFor();
}

/** What somebody answers who sees nothing wrong. */
const NOTHING: Solution = { causes: ['none'], where: [], next: ['leave-it'], restart: ['runs'] };

describe('a class of its own', () => {
  beforeEach(openClass);
  afterEach(closePages);

  it('takes an instructor and three phones through a whole lesson', async () => {
    const [ada, bo, cy] = await Promise.all(['Ada', 'Bo', 'Cy'].map(phone));
    if (ada === undefined || bo === undefined || cy === undefined) throw new Error('three phones');
    const lesson = await begin([ada, bo, cy]);
    const { solution } = (await room()).lesson ?? {};
    if (solution === undefined) throw new Error('the lesson is not on');

    // What may be projected gives nothing away; the phones are told nothing of it either.
    for (const page of [instructor, ada]) {
      const shown = await shownText(page.locator('body'));
      for (const secret of [lesson.name, lesson.why]) expect(shown).not.toContain(secret);
    }

    // Looking and measuring.
    await ada.getByRole('button', { name: /^coil-a/u }).click();
    await ada.getByRole('cell', { name: '240811' }).first().waitFor();
    await ada.getByRole('button', { name: F.switchOff }).press('Enter');
    await ada.getByText(F.mayNot).waitFor();
    await press(ada, S.tabs.measure);
    await ada.getByLabel(F.meterAt).selectOption('supply.coil-a');
    expect(await shownText(ada.locator('.reading').first())).toBe(F.volts(24));

    // One is right, one sees nothing and thinks again, one loses the network meanwhile.
    const where = await wordsOf(solution.where);
    await cy.context().setOffline(true);
    await answer(ada, solution, where);
    await answer(bo, NOTHING, []);
    await cy.getByText(S.lostSays).waitFor();
    await answer(bo, { ...NOTHING, causes: solution.causes }, []);
    await cy.context().setOffline(false);
    await cy.getByText(S.lostSays).waitFor({ state: 'detached' });
    await answer(cy, NOTHING, []);
    await instructor.getByText(C.answers(3, 3)).waitFor();
    // No part is an answer too.
    expect(await shownText(cy.locator('.answer'))).toContain(S.noPart);
    expect(await shownText(cy.locator('.answer'))).not.toContain(S.notChosen);

    // What was answered, and what is right, shows where the instructor says that nobody else looks.
    const right = instructor.getByText(CAUSES['sensor-silent'].words);
    expect(solution.causes).toContain('sensor-silent');
    expect(await right.count()).toBe(0);
    await instructor.getByLabel(C.private).check();
    await expect.poll(() => right.count()).toBe(3);

    await press(instructor, C.reveal);
    await press(instructor, T.yes);
    await instructor.getByText(lesson.name).first().waitFor();
    await ada.getByText(S.score(4, 4)).waitFor();
    await bo.getByText(S.score(1, 4)).waitFor();
    await cy.getByText(S.score(0, 4)).waitFor();
    expect(await shownText(cy.locator('main'))).toContain((await room()).lesson?.safeNextStep);
    const rows = (await shownText(instructor.locator('.scores-table tbody tr'))).split('\n').sort();
    expect(rows.map((row) => row.split(/\s+/u).slice(0, 2))).toEqual([
      ['Ada', '4'],
      ['Bo', '1'],
      ['Cy', '0'],
    ]);

    const [download] = await Promise.all([instructor.waitForEvent('download'), press(instructor, C.csv)]);
    const csv = await readFile(await download.path(), 'utf8');
    expect(csv.split('\n').filter((row) => row.includes('Ada'))).toHaveLength(1);

    // The timeline stands still on the lesson, from its beginning.
    const revealedMs = (await room()).field?.nowMs ?? 0;
    const beganAtMs = (await room()).lesson?.beganAtMs ?? 0;
    await press(instructor, C.onRing);
    await instructor.locator('.plot-window .tick-word').first().waitFor();
    const follow = instructor.getByRole('button', { name: CHART.follow });
    expect(await follow.getAttribute('aria-pressed')).toBe('false');
    const { fromMs, spanMs } = await windowMs(instructor);
    expect(Math.abs(fromMs - beganAtMs)).toBeLessThan(0.02 * spanMs);
    expect(fromMs + spanMs).toBeGreaterThan(revealedMs - 0.02 * spanMs);
  });

  it('has nothing that a reader of screens would stumble over, light or dark, and fits a narrow phone', async () => {
    const ada = await phone('Maximiliane-Theodora von Hohenfels-Oettin');
    const found: string[] = [];
    await check(instructor, 'class', found);
    await check(ada, 'gathering', found);
    await begin([ada]);
    await check(instructor, 'running', found);
    await ada.getByRole('button', { name: /^coil-a/u }).click();
    await check(ada, 'unit', found);
    await press(ada, S.tabs.measure);
    await check(ada, 'measure', found);
    await ada.getByRole('button', { name: S.tabs.answer }).click();
    await check(ada, 'answer', found);
    await press(instructor, C.reveal);
    await press(instructor, T.yes);
    await ada.getByText(S.noAnswer).waitFor();
    await check(ada, 'result', found);
    await instructor.getByText(C.mean('0.0', 4, 1)).waitFor();
    await instructor.getByText(C.scoresSay).waitFor();
    await check(instructor, 'revealed', found);
    expect(found).toEqual([]);
  });
});

describe('a lesson of one’s own', () => {
  beforeEach(openClass);
  afterEach(closePages);

  const file = (name: string, text: string) => {
    return { name, mimeType: 'application/yaml', buffer: Buffer.from(text) };
  };

  it('is refused while it is none, begins once it is, and is no secret once it is revealed', async () => {
    const text = await readFile(`sim/drill/lessons/${LESSON}.drill.yaml`, 'utf8');
    const own = text.replace(/title: .*/u, 'title: The bakery');
    const lessons = instructor.getByRole('region', { name: C.own });
    await press(instructor, C.startOwn);
    await lessons.getByText(R.noFile).waitFor();
    await lessons.locator('input').setInputFiles(file('mine.yaml', own.replace(/lesson:[\s\S]*/u, '')));
    await press(instructor, C.startOwn);
    await lessons.getByText('add a block lesson').waitFor();
    await lessons.locator('input').setInputFiles(file('mine.yaml', own));
    await lessons.getByText('add a block lesson').waitFor({ state: 'detached' });
    await press(instructor, C.startOwn);
    await instructor.getByRole('heading', { name: 'The bakery' }).waitFor();
    expect((await room()).lesson).toMatchObject({ id: null, title: 'The bakery' });

    await press(instructor, C.reveal);
    await press(instructor, T.yes);
    await instructor.getByText(C.revealed, { exact: true }).waitFor();
    await instructor.getByRole('link', { name: 'Drills' }).click();
    await instructor.locator('.drill-steps').waitFor();
  });

  it('that is played as a drill while the class has no lesson says so, and where a class gets it', async () => {
    const text = await readFile(`sim/drill/lessons/${LESSON}.drill.yaml`, 'utf8');
    await instructor.getByRole('link', { name: 'Drills' }).click();
    await instructor.locator('.own-file input').setInputFiles(file('mine.yaml', text));
    await press(instructor, R.playFile);
    const onNow = instructor.locator('.on-now');
    await onNow.getByText(R.lessonAlone).waitFor();
    expect(await onNow.getByText(R.lessonHidden).count()).toBe(0);
    // A viewer is not told whether a class has it.
    const viewer = await openPage(`?token=${VIEWER}#/drills`, { width: 1280, height: 800 });
    await viewer.locator('.on-now').getByText(R.lessonUnknown).waitFor();
    expect(await viewer.locator('.drill-steps').count()).toBe(0);
    await onNow.getByRole('link').click();
    await instructor.getByRole('heading', { name: C.lessons, exact: true }).waitFor();
  });
});

/** One after another in the same lesson: to open one takes longer than what is looked at. */
describe('while a lesson is on', () => {
  let ada: Page;

  beforeEach(async () => {
    if (browser.contexts().length > 0) return;
    await openClass();
    ada = await phone('Ada');
    await begin([ada]);
  });
  // A second try begins with a class of its own.
  afterEach(async ({ task }) => {
    if (task.result?.state === 'fail') await closePages();
  });

  it('cannot change the bench with what a phone holds, nor read what would tell', async () => {
    const statuses = await ada.evaluate(async () => {
      const authorization = `Bearer ${sessionStorage.getItem('leakbench.seat') ?? ''}`;
      const headers = { authorization, 'content-type': 'application/json' };
      const ask = async (method: string, path: string, body?: string): Promise<number> =>
        (await fetch(`/api/v1/${path}`, { method, headers, ...(body === undefined ? {} : { body }) })).status;
      return [
        await ask('GET', 'seat'),
        await ask('POST', 'seat/power', '{"sensor":"coil-a","on":false}'),
        await ask('POST', 'steps', '{"fire":"on"}'),
        await ask('POST', 'class/reveal', '{}'),
        await ask('GET', 'class'),
        await ask('GET', 'now'),
      ];
    });
    expect(statuses).toEqual([200, 403, 401, 401, 401, 401]);
  });

  it('comes back to its seat after a reload, with what was ticked and not sent', async () => {
    await ada.getByRole('button', { name: S.tabs.answer }).click();
    await choose(ada, [CAUSES.leak.words]);
    await ada.reload();
    await ada.getByRole('button', { name: S.tabs.answer }).click();
    expect(await ada.getByLabel(CAUSES.leak.words, { exact: true }).isChecked()).toBe(true);
    // Nothing and something exclude each other.
    await choose(ada, [CAUSES.none.words]);
    expect(await ada.getByLabel(CAUSES.leak.words, { exact: true }).isChecked()).toBe(false);
  });

  it('hands a switch over, and says what happened to a seat that was removed', async () => {
    await instructor.getByLabel(C.hand).selectOption({ label: 'Ada' });
    await press(ada, S.tabs.unit);
    await ada.getByRole('button', { name: /^coil-a/u }).click();
    await ada.locator('.supply-switch button[aria-disabled=false]').click();
    await ada.getByRole('button', { name: F.switchOn }).waitFor();
    await press(instructor, `${C.remove} Ada`);
    await press(instructor, T.yes);
    await ada.getByLabel(S.yourName).waitFor();
    expect(await shownText(ada.getByRole('alert'))).toContain('seat');
  });

  it('hides the bench behind a curtain while a lesson is on, and lifts it when asked', async () => {
    await instructor.getByRole('link', { name: 'Bench' }).click();
    await instructor.getByText(C.curtainSays).waitFor();
    expect(await instructor.locator('.ring').count()).toBe(0);
    await press(instructor, C.curtainLift);
    await instructor.locator('.ring').waitFor();
  });
});

async function wordsOf(parts: readonly string[]): Promise<string[]> {
  const response = await fetch(`${bench.page}/api/v1/rig`, { headers: AUTHORIZED });
  const choices = partsOf((await response.json()) as RigParts);
  return choices.filter(({ id }) => parts.includes(id)).map(({ words }) => words);
}

async function check(page: Page, name: string, found: string[]): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    found.push(...(await violations(page)).map((violation) => `${name} ${colorScheme} ${violation}`));
  }
  const before = page.viewportSize() ?? PHONE;
  await page.setViewportSize({ width: 320, height: 640 });
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (over > 0) found.push(`${name} is ${over} px too wide at 320`);
  await page.setViewportSize(before);
}
