/** What a test of the page stands on: the browser and the built page, a bench with its story, a page that is watched. */
import type { Browser, Page } from 'playwright-core';
import { buildPage, launchBrowser } from './browser.ts';
import { type StandIn, startStandIn } from './server.ts';
import type { tellStory } from './story.ts';

export interface Stage {
  readonly browser: Browser;
  /** A bench for one test, at the end of a story. */
  readonly startBench: (story: ReturnType<typeof tellStory>) => Promise<StandIn>;
  readonly close: () => Promise<void>;
}

export async function openStage(): Promise<Stage> {
  const [built, browser] = await Promise.all([buildPage(), launchBrowser()]);
  return {
    browser,
    startBench: async (story) => {
      const bench = await startStandIn(built.folder, story.snapshot);
      bench.record = [...story.events];
      return bench;
    },
    close: async () => {
      await browser.close();
      await built.remove();
    },
  };
}

/** Tells each error of a page: what its scripts throw, and what the browser itself complains of. */
export function watchErrors(page: Page, tell: (text: string) => void): void {
  page.on('pageerror', (error) => {
    tell(error.message);
  });
  page.on('console', (message) => {
    if (message.type() === 'error') tell(message.text());
  });
}
