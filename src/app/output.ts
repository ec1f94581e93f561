/** Where a report goes: a file that was asked for, or a terminal of some width that may show colour. */
import { writeFileSync } from 'node:fs';
import type { TextOptions } from './report/text-sheet.ts';
import { EXIT, Stop } from './stop.ts';

/** Throws Stop where the file cannot be written. */
export function save(file: string, text: string): void {
  try {
    writeFileSync(file, text);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new Stop(EXIT.surroundings, `${file} cannot be written (${reason}); name another file`);
  }
}

/** What standard output can show. */
export function terminal(): TextOptions {
  const { isTTY, columns } = process.stdout;
  return { colour: isTTY && process.env['NO_COLOR'] === undefined, width: columns };
}
