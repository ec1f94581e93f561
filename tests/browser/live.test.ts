/** The page while things happen: events, breaks, refusals, and what its controls ask for. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { type BuiltPage, buildPage, launchBrowser, shownText } from './harness/browser.ts';
import { type StandIn, startStandIn } from './harness/server.ts';
import { tellStory } from './harness/story.ts';

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
  const story = tellStory(50);
  bench = await startStandIn(built.folder, story.snapshot);
  bench.record = [...story.events];
});

afterEach(async () => {
  await page.context().close();
  await bench.close();
});

async function openPage(query = ''): Promise<void> {
  page = await (await browser.newContext({ viewport: { width: 1280, height: 900 } })).newPage();
  await page.goto(bench.url + query);
}

function call(on: boolean): void {
  bench.tell({ id: 'call.changed', atMs: 50_000, fields: { call: 'cooling', on } });
}

/** How many of the events told by `call` the list shows. */
async function callsShown(): Promise<number> {
  return page.locator('.event-text', { hasText: 'The call for cooling is' }).count();
}

async function untilAsked(body: unknown): Promise<void> {
  await vi.waitFor(() => {
    expect(bench.asked.map((one) => one.body)).toContainEqual(body);
  });
}

describe('following the bench', () => {
  it('shows events as they come, newest first', async () => {
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
    call(true);
    bench.tell({ id: 'fire.changed', atMs: 51_000, fields: { on: true } });
    const first = page.locator('.event').first();
    await first.filter({ hasText: 'The fire signal is on' }).waitFor();
    expect(await shownText(first)).toMatch(/^0:00:51\s+alarm\s+The fire signal is on$/u);
    expect(await callsShown()).toBe(1);
  });

  it('announces warnings and alarms, and neither the ordinary nor the past', async () => {
    bench.tell({ id: 'fire.changed', atMs: 50_000, fields: { on: true } });
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
    const heard = page.locator('.events [role=status]');
    expect(await shownText(heard)).toBe('');
    call(true);
    await page.locator('.event-text', { hasText: 'cooling' }).waitFor();
    expect(await shownText(heard)).toBe('');
    bench.tell({ id: 'fire.changed', atMs: 52_000, fields: { on: false } });
    await heard.filter({ hasText: 'The fire signal is off' }).waitFor();
  });

  it('catches up after a break without a gap and without a repetition', async () => {
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
    for (let count = 0; count < 5; count += 1) call(count % 2 === 0);
    await vi.waitFor(async () => {
      expect(await callsShown()).toBe(5);
    });
    bench.streamDown = true;
    bench.dropSockets();
    for (let count = 0; count < 20; count += 1) call(count % 2 === 1);
    await page.getByText('No connection').first().waitFor();
    bench.streamDown = false;
    await vi.waitFor(
      async () => {
        expect(await callsShown()).toBe(25);
      },
      { timeout: 10_000 },
    );
    call(true);
    await vi.waitFor(async () => {
      expect(await callsShown()).toBe(26);
    });
    expect(new Set(bench.streams).size).toBe(2);
  });

  it('finds out by itself that a stream looks open and brings nothing', async () => {
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
    bench.withheld.add(bench.record.length + 1);
    call(true);
    await vi.waitFor(
      async () => {
        expect(await callsShown()).toBe(1);
      },
      { timeout: 15_000 },
    );
  });

  it('tells a controller without power from one that runs elsewhere', async () => {
    bench.snapshot = { ...bench.snapshot, supervisor: null };
    await openPage();
    await page.getByText('The controller runs elsewhere').first().waitFor();
    bench.tell({ id: 'power.cut', atMs: 51_000, fields: { to: 'controller' } });
    await page.getByText('The controller has no power: nobody').first().waitFor();
    bench.tell({ id: 'power.restored', atMs: 52_000, fields: { to: 'controller' } });
    await page.getByText('The controller runs elsewhere').first().waitFor();
  });

  it('asks for a snapshot four times a second at the most, however busy the bench is', async () => {
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
    let snapshots = 0;
    page.on('request', (request) => {
      if (request.url().endsWith('/now')) snapshots += 1;
    });
    const beganMs = Date.now();
    while (Date.now() - beganMs < 2000) {
      call(true);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    const seconds = (Date.now() - beganMs) / 1000;
    expect(snapshots).toBeGreaterThanOrEqual(2);
    expect(snapshots).toBeLessThanOrEqual(4 * seconds + 1);
  });

  it('says that its values are old when the bench is gone, and which trouble it is', async () => {
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
    await bench.close();
    await page.getByText('The bench did not answer.').waitFor({ timeout: 15_000 });
    await page.getByText(/Values are .* old/u).waitFor({ timeout: 15_000 });
    const release = page.getByRole('button', { name: 'Release (no connection)', exact: true });
    expect(await release.getAttribute('aria-disabled')).toBe('true');
  });

  it('draws nothing before the bench has answered, and passes its token on', async () => {
    bench.token = 'a secret';
    await openPage();
    await page.getByText('this bench wants a token').waitFor();
    expect(await page.locator('.station').count()).toBe(0);
    await page.goto(`${bench.url}?token=a+secret`);
    await page.getByText('live', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Press service reset' }).click();
    await untilAsked({ serviceReset: {} });
  });
});

describe('acting on the bench', () => {
  beforeEach(async () => {
    await openPage();
    await page.getByText('live', { exact: true }).waitFor();
  });

  const click = (name: string): Promise<void> => page.getByRole('button', { name, exact: true }).click();

  it('asks for calls, the fire signal and service reset', async () => {
    await page.getByRole('button', { name: /^Cooling/u }).click();
    await click('Raise fire signal');
    await click('Press service reset');
    await untilAsked({ call: { cooling: 'on' } });
    await untilAsked({ fire: 'on' });
    await untilAsked({ serviceReset: {} });
  });

  it('asks for a release by preset and by own entry', async () => {
    await page.getByLabel('How').selectOption('a whole charge in 4 min');
    await page.getByLabel('At', { exact: true }).selectOption('room, low');
    await click('Release');
    await untilAsked({ release: { at: 'room-low', kg: '4.2 kg', emptiesIn: '4 min' } });
    await page.getByLabel('How').selectOption('own entry');
    await page.getByLabel('Rate').fill('3 g/s');
    await click('Release');
    await untilAsked({ release: { at: 'room-low', rate: '3 g/s', lasts: '5 min' } });
  });

  it('asks for test gas, faults, mending and power at the part that was chosen', async () => {
    await page.getByLabel('Part', { exact: true }).selectOption('coil-b');
    await page.getByLabel('Test gas').fill('60 %LFL');
    await click('Hold it');
    await untilAsked({ testGas: { at: 'coil-b', level: '60 %LFL', lasts: '30 s' } });
    await page.getByLabel('Fault', { exact: true }).selectOption('offset');
    await page.getByLabel('Parameters').fill('by: 5 %LFL');
    await click('Put in');
    await untilAsked({ fault: { in: 'coil-b', kind: 'offset', by: '5 %LFL' } });
    await click('Mend its faults');
    await untilAsked({ mend: { in: 'coil-b' } });
    await page.getByLabel('Part', { exact: true }).selectOption('controller (power only)');
    await page.getByLabel('No power for').fill('10 s');
    await click('Cut power');
    await untilAsked({ power: { to: 'controller', cut: '10 s' } });
    await click('Restore power');
    await untilAsked({ power: { to: 'controller', restored: true } });
  });

  it('sets speed and pause', async () => {
    await page.getByRole('radio', { name: '5×' }).click();
    await click('Go on');
    await untilAsked({ speed: 5 });
    await untilAsked({ paused: false });
    expect(bench.asked.every((one) => one.path === '/api/v1/clock')).toBe(true);
  });

  it('shows why the bench refused, disables the control, and lets a changed entry be tried', async () => {
    bench.refusal = { status: 422, detail: '40 needs its unit, such as "40 %LFL"' };
    await page.getByLabel('Test gas').fill('40');
    await click('Hold it');
    await page.getByText('40 needs its unit, such as "40 %LFL"').waitFor();
    const refused = page.getByRole('button', { name: 'Hold it (refused)' });
    // It stays where the keyboard is, and does nothing.
    await refused.focus();
    await page.keyboard.press('Enter');
    expect(bench.asked).toHaveLength(1);
    bench.refusal = null;
    await page.getByLabel('Test gas').fill('40 %LFL');
    await click('Hold it');
    await untilAsked({ testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } });
  });

  it('lets a refused control be tried again once something has changed on the bench', async () => {
    bench.refusal = { status: 409, detail: 'the charge is gone' };
    await click('Release');
    await page.getByRole('button', { name: 'Release (refused)', exact: true }).waitFor();
    call(true);
    await page.getByRole('button', { name: 'Release', exact: true }).waitFor();
  });

  it('keeps a control refused that this token may never use', async () => {
    bench.refusal = { status: 403, detail: 'a viewer may look and not touch' };
    await click('Release');
    await page.getByText('a viewer may look and not touch').waitFor();
    call(true);
    await page.locator('.event-text', { hasText: 'cooling' }).waitFor();
    expect(await page.getByRole('button', { name: 'Release (refused)', exact: true }).count()).toBe(1);
  });
});
