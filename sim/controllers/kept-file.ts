/** What a controller keeps on disk over a power cut. */
import { closeSync, fsyncSync, mkdirSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { Kept } from './minimal-controller.ts';

export class KeptFile {
  readonly #file: string;
  #stored = '';

  constructor(folder: string) {
    mkdirSync(folder, { recursive: true });
    this.#file = join(folder, 'kept.json');
  }

  /** null where nothing was ever stored. `locksOut`: the plan has a lock-out that may have stood. */
  load(locksOut: boolean): Kept | null {
    try {
      return JSON.parse(readFileSync(this.#file, 'utf8')) as Kept;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
      // What cannot be read may have been anything.
      return { mitigating: true, counted: false, tripsAtMs: [], lockedOut: locksOut };
    }
  }

  /** Whole or not at all: written beside, forced to the disk, then renamed. */
  store(kept: Kept): void {
    const text = JSON.stringify(kept);
    if (text === this.#stored) return;
    const beside = `${this.#file}.new`;
    const file = openSync(beside, 'w');
    writeSync(file, text);
    fsyncSync(file);
    closeSync(file);
    renameSync(beside, this.#file);
    this.#stored = text;
  }
}
