/** Where a report goes: a file that was asked for, or a terminal of some width that may show colour. */
import { writeFileSync } from 'node:fs';
import { messageOf } from '../text/message-of.ts';
import type { TextOptions } from './report/text-sheet.ts';
import { EXIT, Stop } from './stop.ts';

/** Throws Stop where the file cannot be written. */
export function save(file: string, text: string): void {
  try {
    writeFileSync(file, text);
  } catch (error) {
    throw notWritten(file, error);
  }
}

export function notWritten(file: string, error: unknown): Stop {
  return new Stop(EXIT.surroundings, `${file} cannot be written (${messageOf(error)}); name another file`);
}

/** Whether nobody reads our output any more. A socket in which something lay unread was reset. */
export function isReaderGone(error: unknown): boolean {
  if (!(error instanceof Error) || !('code' in error)) return false;
  return error.code === 'EPIPE' || error.code === 'ECONNRESET';
}

/**
 * What was begun goes on to its own end, whatever becomes of our output. Whoever reads it may have seen
 * enough. Where it cannot be written, as on a full disk, that is said once, and what would have ended well
 * ends with the exit code of its surroundings.
 */
export function outliveOutput(): void {
  let isLost = false;
  for (const [name, stream] of [
    ['standard output', process.stdout],
    ['standard error', process.stderr],
  ] as const) {
    stream.on('error', (error) => {
      if (isReaderGone(error) || isLost) return;
      isLost = true;
      process.once('exit', () => {
        if ((process.exitCode ?? EXIT.held) === EXIT.held) process.exitCode = EXIT.surroundings;
      });
      process.stderr.write(`${name} cannot be written (${messageOf(error)})\n`);
    });
  }
}

/** What standard output can show. */
export function terminal(): TextOptions {
  const { isTTY, columns } = process.stdout;
  return { colour: isTTY && process.env['NO_COLOR'] === undefined, width: columns };
}
