/** The text of a file that a person wrote, read within bounds: a device or a pipe may never end. */
import { isUtf8 } from 'node:buffer';
import { closeSync, openSync, readSync } from 'node:fs';
import type { FileProblem } from './problem.ts';

const FILE_BYTES_MAX = 1024 * 1024;

export type TextOutcome =
  | { readonly ok: true; readonly text: string }
  | { readonly ok: false; readonly problem: FileProblem };

/** What stands in a file, without a byte order mark; why it cannot be read is a problem like any other. */
export function readTextFile(file: string): TextOutcome {
  try {
    const bytes = bytesOf(file);
    if (bytes.length > FILE_BYTES_MAX) return refused(file, 'is larger than 1 MiB; split it');
    return textOf(file, bytes);
  } catch (error) {
    return refused(file, whyUnreadable(error));
  }
}

/** All of it, or one byte more than is taken. */
function bytesOf(file: string): Buffer {
  const bytes = Buffer.alloc(FILE_BYTES_MAX + 1);
  const handle = openSync(file, 'r');
  try {
    let length = 0;
    for (;;) {
      const read = readSync(handle, bytes, length, bytes.length - length, null);
      length += read;
      if (read === 0) return bytes.subarray(0, length);
    }
  } finally {
    closeSync(handle);
  }
}

const UTF_16 = ['fffe', 'feff'];

function textOf(file: string, bytes: Buffer): TextOutcome {
  if (UTF_16.includes(bytes.toString('hex', 0, 2))) return refused(file, 'is UTF-16; save it as UTF-8');
  const text = new TextDecoder().decode(bytes);
  if (isUtf8(bytes)) return { ok: true, text };
  const place = placeOf(text, text.indexOf('\u{fffd}'));
  return { ok: false, problem: { file, ...place, message: 'is not UTF-8 here; save the file as UTF-8' } };
}

function refused(file: string, message: string): TextOutcome {
  return { ok: false, problem: { file, line: 1, column: 1, message } };
}

function whyUnreadable(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOENT') return 'does not exist; check the path';
  if (code === 'EISDIR') return 'is a folder; name a file';
  return `cannot be read (${String(code)}); check its path and permissions`;
}

/** Line and column of a place in a text, both from 1. */
export function placeOf(text: string, offset: number): { readonly line: number; readonly column: number } {
  const before = text.slice(0, offset);
  return { line: before.split('\n').length, column: offset - before.lastIndexOf('\n') };
}
