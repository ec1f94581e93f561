/** The real browser and the page as it stands now, built for the tests that ask for it. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, type Locator } from 'playwright-core';
import { build } from 'vite';

const ROOT = join(import.meta.dirname, '../../..');

/** Where Debian and most systems put it. */
const { LEAKBENCH_CHROMIUM: CHROMIUM = '/usr/bin/chromium' } = process.env;

/** No sandbox, for tests run as root in containers too; nothing that would call home. */
const ARGUMENTS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export function launchBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM, args: ARGUMENTS });
}

export interface BuiltPage {
  readonly folder: string;
  readonly remove: () => Promise<void>;
}

/** Builds into a folder of its own, so that a test never sees an old build or one that is being made. */
export async function buildPage(): Promise<BuiltPage> {
  const folder = await mkdtemp(join(tmpdir(), 'leakbench-page-'));
  const root = join(ROOT, 'src/page');
  const configFile = join(root, 'vite.config.ts');
  await build({ root, configFile, logLevel: 'warn', build: { outDir: folder, emptyOutDir: true } });
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) };
}

/** Text as a person sees it, line by line; the text of the document would run its parts together. */
export async function shownText(locator: Locator): Promise<string> {
  return (await locator.allInnerTexts()).join('\n');
}
