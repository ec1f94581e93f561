/**
 * A person without a mouse at the bench view: gets to a panel of faults by Tab, chooses with the arrows, puts the
 * fault in with Enter, leaves with Escape. No other key, and nothing by its place in the document.
 */
import type { Page } from 'playwright-core';

/** More stops than the bench view has. */
const STOPS_MAX = 400;

/** What has the focus: which panel its button opens, which fault it chooses, its words. */
interface Here {
  readonly opens: string | null;
  readonly kind: string | null;
  readonly words: string;
}

function here(page: Page): Promise<Here> {
  return page.evaluate<Here>(`(() => {
    const at = document.activeElement;
    return {
      opens: at.dataset.opens ?? null,
      kind: at.matches('.kind input') ? at.value : null,
      words: at.textContent,
    };
  })()`);
}

/** Presses a key until the focus is where it is wanted; throws where it never gets there. */
async function pressUntil(page: Page, key: string, wanted: (at: Here) => boolean): Promise<Here> {
  for (let stop = 0; stop < STOPS_MAX; stop += 1) {
    await page.keyboard.press(key);
    const at = await here(page);
    if (wanted(at)) return at;
  }
  throw new Error(`no end of pressing ${key}`);
}

/** Walks to the panel with that id and opens it; the focus is on its button then. */
export async function openPanel(page: Page, id: string): Promise<void> {
  await pressUntil(page, 'Tab', ({ opens }) => opens === id);
  await page.keyboard.press('Enter');
}

/**
 * From the button of an open panel, or from anywhere behind its list: chooses each fault in turn and puts it in,
 * then `check`s. Ends on the button of the panel, which is closed.
 */
export async function putInEach(
  page: Page,
  kinds: number,
  check: (kind: string) => Promise<void>,
): Promise<void> {
  for (let count = 1; count <= kinds; count += 1) {
    // It closes with each fault, and begins anew with the first.
    if (count > 1) await page.keyboard.press('Enter');
    await pressUntil(page, 'Tab', ({ kind }) => kind !== null);
    for (let down = 1; down < count; down += 1) await page.keyboard.press('ArrowDown');
    const { kind } = await here(page);
    if (kind === null) throw new Error('the keyboard has left the list of faults');
    await pressUntil(page, 'Tab', ({ words }) => words.startsWith('Put in'));
    await page.keyboard.press('Enter');
    await check(kind);
    await page.locator('[data-opens]:focus').waitFor();
  }
}
