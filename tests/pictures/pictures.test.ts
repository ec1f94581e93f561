/** Makes the pictures of the documents anew, from real benches in a real Chromium: `npm run pictures`. */
import { spawn } from 'node:child_process';
import { readFile, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import type { ClassView } from '../../src/page/class/types.ts';
import { C } from '../../src/page/texts/class.ts';
import { GUIDE } from '../../src/page/texts/hands.ts';
import { S } from '../../src/page/texts/seat.ts';
import type { Snapshot } from '../../src/page/types.ts';
import { launchBrowser } from '../browser/harness/browser.ts';
import { type BenchProcess, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';

const FOLDER = join(packageRoot(), 'src/guides/pictures');
const LIBRARY = join(packageRoot(), 'sim/drill/library');
const SAMPLE = join(packageRoot(), 'dist/sim/controllers/modbus.js');
const BYTES_MAX = 150_000;
const WAIT = { timeout: 90_000, interval: 500 };
const TOKEN = 'the-instructors-word';
const BENCH = { width: 1120, height: 900 };
const SCREEN = { width: 1200, height: 800 };
/** As high as the phone beside it. */
const WALL = { width: 900, height: 600 };
const PHONE = { width: 350, height: 600 };
const SEATS = ['Ada', 'Bo', 'Cy'];

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

async function bench(
  args: readonly string[],
  atEnd: (end: () => Promise<void>) => void,
): Promise<BenchProcess> {
  const started = await startBench([...args, '--bus', 'tcp://127.0.0.1:0', '--data', freshFolder()]);
  atEnd(async () => {
    await started.stop();
  });
  return started;
}

async function pageAt(address: string, viewport: { width: number; height: number }): Promise<Page> {
  const page = await (await browser.newContext({ viewport, colorScheme: 'light' })).newPage();
  await page.goto(address);
  return page;
}

async function ask<Value>(page: string, path: string): Promise<Value> {
  const response = await fetch(`${page}${path}`, { headers: { authorization: `Bearer ${TOKEN}` } });
  return (await response.json()) as Value;
}

async function step(page: string, body: unknown): Promise<void> {
  const headers = { 'content-type': 'application/json' };
  const response = await fetch(`${page}/api/v1/steps`, {
    method: 'POST',
    headers,
    body: JSON.stringify(body),
  });
  expect(response.ok).toBe(true);
}

async function keep(name: string, from: Page | Locator): Promise<void> {
  const file = join(FOLDER, name);
  await from.screenshot({ path: file, animations: 'disabled' });
  expect((await stat(file)).size, name).toBeLessThanOrEqual(BYTES_MAX);
}

test('the bench in mitigation', async ({ onTestFinished }) => {
  const { page: address } = await bench(['serve', '--speed', '5'], onTestFinished);
  const page = await pageAt(address, BENCH);
  await step(address, { call: { cooling: 'on' } });
  await page.waitForTimeout(12_000);
  await step(address, { release: { at: 'cabinet', rate: '20 g/s', lasts: '100 s' } });
  await vi.waitFor(async () => {
    const { supervisor } = await ask<Snapshot>(address, '/api/v1/now');
    expect(supervisor?.state).toBe('mitigating');
    expect(supervisor?.commands['alarm']?.on).toBe(true);
  }, WAIT);
  await page.getByText(GUIDE.why('compressor a')).click();
  // The timeline above the commands, and the reasons below them.
  await page.evaluate('window.scrollBy(0, -215)');
  await page.waitForTimeout(1500);
  await keep('bench.png', page);
});

test('who asks whom, of a controller with a wrong address', async ({ onTestFinished }) => {
  const { page: address, lines } = await bench(['sim'], onTestFinished);
  const bus = ['--bus', `tcp://127.0.0.1:${lines['main']}`, '--state', freshFolder()];
  const controller = spawn(process.execPath, [SAMPLE, ...bus, 'coil-a=13:240811', 'grille=input8']);
  onTestFinished(() => {
    controller.kill();
  });
  const page = await pageAt(`${address}#/polls`, SCREEN);
  await page.getByText('coil-b (unit 12 on line main) has not been asked').waitFor({ timeout: 60_000 });
  await keep('polls.png', page);
});

test('the report of a drill', async () => {
  const file = join(freshFolder(), 'verdict.html');
  const { code } = await runToEnd(['drill', join(LIBRARY, 'gas-lingers.drill.yaml'), '--html', file]);
  expect(code).toBe(0);
  await keep('report.png', await pageAt(pathToFileURL(file).href, SCREEN));
});

test('a class, and the phone of a seat beside it', async ({ onTestFinished }) => {
  const { page: address } = await bench(['serve', '--speed', '10', '--token', TOKEN], onTestFinished);
  const wall = await pageAt(`${address}/?token=${TOKEN}#/class`, WALL);
  await wall.getByRole('button', { name: C.open, exact: true }).click();
  await wall.locator('.join-code').waitFor();
  const room = await ask<{ class: ClassView }>(address, '/api/v1/class');
  const phones: Page[] = [];
  for (const name of SEATS) {
    const phone = await pageAt(`${address}/join/?code=${room.class.code}`, PHONE);
    await phone.getByLabel(S.yourName).fill(name);
    await phone.getByRole('button', { name: S.joinDo, exact: true }).click();
    await phone.getByText(S.gathered).waitFor();
    phones.push(phone);
  }
  const { title } = room.class.lessons[3] ?? { title: 'there is no fourth' };
  await wall.getByRole('button', { name: `${C.start} ${title}`, exact: true }).click();
  await phones[0]?.getByRole('heading', { name: title }).waitFor();
  await wall.waitForTimeout(12_000);
  const pictures = [wall, phones[0] ?? wall].map((page) => page.screenshot({ animations: 'disabled' }));
  await keep('class.png', await sideBySide(await Promise.all(pictures)));
});

/** As they are: pixels drawn in another size would weigh twice as much. */
async function sideBySide(pictures: readonly Buffer[]): Promise<Locator> {
  const folder = freshFolder();
  const images = await Promise.all(
    pictures.map(async (picture, index) => {
      await writeFile(join(folder, `${index}.png`), picture);
      return `<img src="${index}.png">`;
    }),
  );
  const style = 'display:inline-flex;gap:16px;padding:12px;background:#d8dce2';
  await writeFile(
    join(folder, 'both.html'),
    `<style>body{margin:0}img{border-radius:8px}</style><div style="${style}">${images.join('')}</div>`,
  );
  const page = await pageAt(pathToFileURL(join(folder, 'both.html')).href, { width: 1500, height: 700 });
  expect((await readFile(join(folder, '0.png'))).length).toBeGreaterThan(1000);
  return page.locator('div');
}
