/** A real bench and its page, for putting faults in by keyboard and seeing them on the bench itself. */
import type { Browser, Page } from 'playwright-core';
import { expect, vi } from 'vitest';
import { faultsAt, type Place, standingAt } from '../../../src/page/data/parts.ts';
import type { RigView, Snapshot } from '../../../src/page/types.ts';
import { freshFolder, startBench } from '../../helpers/bench-process.ts';
import { openPanel, putInEach } from './keyboard.ts';

export interface FaultBench {
  readonly rig: RigView;
  readonly page: Page;
  /** `panel` is "part coil-a" or "wire coil-a": every fault of it is put in, seen to stand, and mended. */
  readonly putInAllOf: (panel: string) => Promise<readonly string[]>;
  readonly close: () => Promise<void>;
}

export async function openFaultBench(browser: Browser): Promise<FaultBench> {
  const bench = await startBench(['serve', '--bus', 'tcp://127.0.0.1:0', '--data', freshFolder()]);
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 900 } })).newPage();
  await page.goto(bench.page);
  await page.locator('.picture').waitFor();
  await page.getByText('live', { exact: true }).waitFor();
  const ask = async <Value>(path: string): Promise<Value> =>
    (await (await fetch(new URL(path, bench.page))).json()) as Value;
  const rig = await ask<RigView>('/api/v1/rig');
  return {
    rig,
    page,
    putInAllOf: async (panel) => {
      const [place, part] = panel.split(' ') as [Place, string];
      const kinds = faultsAt(rig, part, place);
      const put: string[] = [];
      await openPanel(page, `faults ${panel}`);
      await putInEach(page, kinds.length, async (kind) => {
        await vi.waitFor(async () => {
          const snapshot = await ask<Snapshot>('/api/v1/now');
          const standing = standingAt(rig, snapshot, part, place).map((fault) => fault.kind);
          const refusal = (await page.locator('.panel .refusal').allInnerTexts()).join('');
          expect(standing, `${kind} in ${part}: ${refusal}`).toContain(kind);
        });
        put.push(kind);
        await mend(bench.page, part);
      });
      return put;
    },
    close: async () => {
      await page.context().close();
      await bench.stop();
    },
  };
}

/** Only so that the next fault meets a sound part; mending by hand has a test of its own. */
async function mend(page: string, part: string): Promise<void> {
  await fetch(new URL('/api/v1/steps', page), {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ mend: { in: part } }),
  });
}
