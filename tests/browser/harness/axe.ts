/** What axe objects to on a page. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

/** Fails where axe had hardly anything to look at. */
export async function violations(page: Page): Promise<readonly string[]> {
  // The page's own policy forbids added scripts, as it should; evaluation goes round it.
  await page.evaluate(await readFile(AXE, 'utf8'));
  const results = await page.evaluate<AxeResults>('axe.run(document, { resultTypes: ["violations"] })');
  if (results.passes.length <= 20) throw new Error(`axe looked at ${results.passes.length} rules only`);
  return results.violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' | ')}`);
}
