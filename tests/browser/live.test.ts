/** The page while things happen: events, breaks, refusals, and what its controls ask for. */
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { rigView } from '../../src/app/rig-view.ts';
import { demoRig } from '../helpers/demo.ts';
import { shownText } from './harness/browser.ts';
import type { StandIn } from './harness/server.ts';
import { openStage, type Stage } from './harness/stage.ts';
import { tellStory } from './harness/story.ts';
import { troubled } from './harness/troubled.ts';

let stage: Stage;
let bench: StandIn;
let page: Page;

beforeAll(async () => {
  stage = await openStage();
});

afterAll(() => stage.close());

beforeEach(async () => {
  bench = await stage.startBench(tellStory(50));
});

afterEach(async () => {
  await page.context().close();
  await bench.close();
});

async function openPage(query = ''): Promise<void> {
  page = await (await stage.browser.newContext({ viewport: { width: 1280, height: 900 } })).newPage();
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
    const release = page.getByRole('button', { name: 'Release gas (no connection)', exact: true }).last();
    expect(await release.getAttribute('aria-disabled')).toBe('true');
  });

  it('asks for the token where the bench wants one, and for nothing else until it has it', async () => {
    bench.token = 'a secret';
    await openPage();
    const entry = page.getByLabel('Token of this bench');
    await entry.waitFor();
    let requests = 0;
    page.on('request', () => {
      requests += 1;
    });
    await new Promise((resolve) => setTimeout(resolve, 1500));
    expect(requests).toBe(0);
    await entry.fill('another');
    await page.keyboard.press('Enter');
    await page.getByText('The bench does not take this token.').waitFor();
    expect(await page.locator('.station').count()).toBe(0);
    await entry.fill('a secret');
    await page.getByRole('button', { name: 'Open the bench' }).click();
    await page.getByText('live', { exact: true }).waitFor();
    await page.locator('.station').first().waitFor();
    await page.reload();
    await page.getByText('live', { exact: true }).waitFor();
  });

  it('draws nothing before the bench has answered, and passes its token on', async () => {
    bench.token = 'a secret';
    await openPage();
    await page.getByText('This bench wants a token').waitFor();
    expect(await page.locator('.station').count()).toBe(0);
    await page.goto(`${bench.url}?token=a+secret`);
    await page.getByText('live', { exact: true }).waitFor();
    expect(page.url()).not.toContain('secret');
    await page.reload();
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

  /** The one at the gas; the way in for newcomers has its own. */
  const release = (): Promise<void> => page.locator('.release .act-first button').click();
  const click = (name: string): Promise<void> => page.getByRole('button', { name, exact: true }).click();

  /** The word of the radio button that has the keyboard. */
  const focused = (): Promise<unknown> =>
    page.evaluate('document.activeElement.nextElementSibling?.textContent');

  it('asks for calls, the fire signal and service reset', async () => {
    await page.getByRole('button', { name: /^Cooling/u }).click();
    await page.getByRole('button', { name: /^Fire signal/u }).click();
    await click('Press service reset');
    await untilAsked({ call: { cooling: 'on' } });
    await untilAsked({ fire: 'on' });
    await untilAsked({ serviceReset: {} });
  });

  it('asks for a release by preset and by own entry', async () => {
    await page.getByLabel('At', { exact: true }).selectOption('room, low');
    await release();
    await untilAsked({ release: { at: 'room-low', kg: '4.2 kg', emptiesIn: '4 min' } });
    await page.getByLabel('How much').selectOption('own entry');
    await page.getByLabel('Rate').fill('3 g/s');
    await release();
    await untilAsked({ release: { at: 'room-low', rate: '3 g/s', lasts: '5 min' } });
  });

  it('asks for test gas, faults, mending and power at the part itself', async () => {
    await click('Test gas at coil-b');
    await page.getByLabel('Level').fill('60 %LFL');
    await click('Hold it');
    await untilAsked({ testGas: { at: 'coil-b', level: '60 %LFL', lasts: '30 s' } });
    await click('Faults of coil-b');
    await page.getByRole('radio', { name: /^offset/u }).check();
    expect(await page.getByLabel('By').inputValue()).toBe('5 %LFL');
    await page.getByLabel('By').fill('-5 %LFL');
    await page.getByLabel('Probability').fill('0.5');
    await click('Put in');
    await untilAsked({ fault: { in: 'coil-b', kind: 'offset', by: '-5 %LFL', probability: 0.5 } });
    await page.getByRole('button', { name: 'Put in' }).waitFor({ state: 'detached' });
    expect(await page.evaluate('document.activeElement.dataset.opens')).toBe('faults part coil-b');
    await page.getByRole('button', { name: /^Supply of coil-b/u }).click();
    await untilAsked({ power: { to: 'coil-b', cut: 'stays' } });
    await page.getByRole('button', { name: /^Controller supply/u }).click();
    await untilAsked({ power: { to: 'controller', cut: 'stays' } });
  });

  it('shows what was put in at the part, and mends it there', async () => {
    bench.snapshot = troubled(bench.snapshot);
    await page.getByText('fault: fan-dead').waitFor();
    await click('Mend fan-dead of fan');
    await untilAsked({ mend: { in: 'fan', kind: 'fan-dead' } });
    await page.getByRole('button', { name: /^Controller supply/u }).click();
    await untilAsked({ power: { to: 'controller', restored: true } });
  });

  it('tells the times of what was put in to the millisecond, as the fault table marks them', async () => {
    const { world, ...rest } = bench.snapshot;
    const a = world?.sensors['coil-a'];
    if (!world || a === undefined) throw new Error('the story has both');
    const slow = rigView(demoRig(), [], new Map()).faultKinds.filter(({ kind }) => kind === 'slow');
    bench.rig = { ...bench.rig, faultKinds: [...bench.rig.faultKinds, ...slow] };
    const faults = [{ kind: 'slow', parameters: { t90: 59_999 } }];
    bench.snapshot = {
      ...rest,
      world: { ...world, sensors: { ...world.sensors, 'coil-a': { ...a, faults } } },
    };
    await page.reload();
    await page.getByText('fault: slow, time to 90 % 59.999 s').waitFor();
  });

  it('shows how the switch of a sensor stands, whatever supply arrives, and turns it over', async () => {
    const { world, ...rest } = bench.snapshot;
    const b = world?.sensors['coil-b'];
    if (!world || b === undefined) throw new Error('the story has both');
    const dark = { ...b, powered: false, faults: [{ kind: 'no-power', parameters: {} }] };
    const sensors = { ...world.sensors, 'coil-b': dark };
    const supply = page.getByRole('button', { name: /^Supply of coil-b/u });
    bench.snapshot = { ...rest, world: { ...world, sensors, unpowered: ['rig'] } };
    await page.getByText('fault: no-power').waitFor();
    expect(await supply.getAttribute('aria-pressed')).toBe('true');
    await supply.click();
    await untilAsked({ power: { to: 'coil-b', cut: 'stays' } });
    bench.snapshot = { ...rest, world: { ...world, sensors, unpowered: ['rig', 'coil-b'] } };
    await page.getByRole('button', { name: /^Supply of coil-b/u, pressed: false }).click();
    await untilAsked({ power: { to: 'coil-b', restored: true } });
  });

  it('shows exchanged addresses at both, and goes through what stands in the order it is seen', async () => {
    const { world, ...rest } = troubled(bench.snapshot);
    const a = world?.sensors['coil-a'];
    if (!world || a === undefined) throw new Error('the story has both');
    const swapped = { ...a, faults: [{ kind: 'swapped', parameters: { with: 'coil-b' } }] };
    bench.snapshot = { ...rest, world: { ...world, sensors: { ...world.sensors, 'coil-a': swapped } } };
    await page.locator('.sensor[data-sensor="coil-b"]').getByText('holds the address of coil-a').waitFor();
    expect(await page.locator('.station-sensors').getByText('holds the address').count()).toBe(1);
    const fan = await page.locator('[data-thing="fan"] button').allTextContents();
    expect(fan.slice(1)).toEqual(['Faults', 'Faults', 'Mend fan-dead of fan']);
  });

  it('sets speed and pause', async () => {
    await page.getByRole('radio', { name: '5×' }).click();
    await click('Go on');
    await untilAsked({ speed: 5 });
    await untilAsked({ paused: false });
    await click('To the next event');
    await untilAsked({ toNextEvent: true });
    expect(bench.asked.every((one) => one.path === '/api/v1/clock')).toBe(true);
  });

  it('keeps the keyboard at the speeds through a break of the link, and sets none meanwhile', async () => {
    const chosen = page.getByRole('radio', { name: '1×' });
    await chosen.focus();
    bench.streamDown = true;
    bench.dropSockets();
    await page.getByText('No connection').first().waitFor();
    expect(await focused()).toBe('1×');
    await page.keyboard.press('ArrowRight');
    expect([await focused(), await chosen.isChecked()]).toEqual(['2×', true]);
    bench.streamDown = false;
    await page.getByText('live', { exact: true }).waitFor();
    expect(await focused()).toBe('2×');
    expect(bench.asked).toEqual([]);
    await page.keyboard.press('ArrowRight');
    await untilAsked({ speed: 5 });
  });

  it('shows why the bench refused, disables the control, and lets a changed entry be tried', async () => {
    bench.refusal = { status: 422, detail: '40 needs its unit, such as "40 %LFL"' };
    await click('Test gas at coil-a');
    await page.getByLabel('Level').fill('40');
    await click('Hold it');
    await page.getByText('40 needs its unit, such as "40 %LFL"').waitFor();
    const refused = page.getByRole('button', { name: 'Hold it (refused)' });
    // It stays where the keyboard is, and does nothing.
    await refused.focus();
    await page.keyboard.press('Enter');
    expect(bench.asked).toHaveLength(1);
    bench.refusal = null;
    await page.getByLabel('Level').fill('40 %LFL');
    await click('Hold it');
    await untilAsked({ testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } });
  });

  it('lets a refused control be tried again once something has changed on the bench', async () => {
    bench.refusal = { status: 409, detail: 'the charge is gone' };
    await release();
    await page.getByRole('button', { name: 'Release gas (refused)', exact: true }).waitFor();
    call(true);
    await page.getByRole('button', { name: 'Release gas', exact: true }).last().waitFor();
    await page
      .getByRole('button', { name: 'Release gas (refused)', exact: true })
      .waitFor({ state: 'detached' });
  });

  it('tells a viewer once that this token may only look, and offers nothing else', async () => {
    bench.refusal = { status: 403, detail: 'a viewer may look and not touch' };
    await release();
    await page.locator('.viewer-note', { hasText: 'You may look, not change' }).waitFor();
    expect(await shownText(page.locator('.bench'))).not.toContain('a viewer may look and not touch');
    const open = page.locator(
      '.act button:not([aria-disabled=true]), .clock input:not([aria-disabled=true])',
    );
    expect(await open.count()).toBe(0);
    call(true);
    await page.locator('.event-text', { hasText: 'cooling' }).waitFor();
    expect(await open.count()).toBe(0);
    await page.getByRole('button', { name: /^Press service reset/u }).focus();
    await page.keyboard.press('Enter');
    // Speeds can be read one by one, and stay as they are.
    const chosen = page.getByRole('radio', { name: '1×' });
    await chosen.focus();
    await page.keyboard.press('ArrowRight');
    expect(await focused()).toBe('2×');
    await page.getByRole('radio', { name: '20×' }).click({ force: true });
    expect(await chosen.isChecked()).toBe(true);
    expect(bench.asked).toHaveLength(1);
  });

  it('tells a newcomer where the gas is, and what will stop what is still on', async () => {
    const { world, supervisor, ...rest } = bench.snapshot;
    if (world === null || supervisor === null) throw new Error('the story has both');
    const commands = { ...supervisor.commands, 'compressor.a': { on: true, because: ['a call stands'] } };
    const withGas = (releaseGPerS: number, cabinet: number): void => {
      bench.snapshot = {
        ...rest,
        supervisor: { ...supervisor, commands },
        world: { ...world, releaseGPerS, cabinet },
      };
    };
    withGas(10, 0);
    await page.getByText('The gas is on its way to a sensor').waitFor();
    await page.locator('.guide').getByRole('button', { name: 'Why is compressor a off?' }).click();
    await page.getByText('compressor a is still on. A sensor that reports gas').waitFor();
    expect(await page.locator('.chain').count()).toBe(0);
    withGas(0, 30);
    await page.getByText('There is gas at the setpoint').waitFor();
    withGas(0, 0);
    await page.getByText('Release gas again: what was let out is gone.').waitFor();
  });

  it('leads a newcomer from a call to the reason, and then leaves them alone', async () => {
    const story = tellStory(300);
    await click('Call cooling');
    await untilAsked({ call: { cooling: 'on' } });
    await page.locator('.guide').getByRole('button', { name: 'Release gas' }).click();
    await untilAsked({ release: { at: 'cabinet', kg: '4.2 kg', emptiesIn: '4 min' } });
    bench.snapshot = story.snapshot;
    await page.locator('.guide .is-next').click();
    expect(await shownText(page.locator('.chain'))).toMatch(
      /compressor a is off because\s+coil-a reports gas/u,
    );
    expect(await page.evaluate('document.activeElement.dataset.opens')).toBe('output compressor.a');
    expect(await page.locator('.guide').count()).toBe(0);
    await page.reload();
    await page.locator('.picture').waitFor();
    expect(await page.locator('.guide').count()).toBe(0);
  });
});
