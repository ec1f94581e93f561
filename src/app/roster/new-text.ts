/** The text that takes a file's place, all of it or nothing: a file beside it first, then its name. */
import {
  accessSync,
  closeSync,
  constants,
  fchmodSync,
  fchownSync,
  fsyncSync,
  openSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { messageOf } from '../../text/message-of.ts';
import { EXIT, Stop } from '../stop.ts';

/** A text file as it was read. */
export interface Original {
  /** Behind any links, which stay. */
  readonly path: string;
  readonly bytes: Buffer;
  readonly text: string;
}

export interface NewText {
  /** Throws Stop where the file is not as it was read. */
  takePlace(): void;
  discard(): void;
}

const NOTHING = 'nothing was written';

/** Throws Stop where it is no text in UTF-8, of which every byte could be kept. */
export function readOriginal(file: string): Original {
  const path = realpathSync(file);
  const bytes = readFileSync(path);
  const text = bytes.toString('utf8');
  if (Buffer.from(text).equals(bytes)) return { path, bytes, text };
  throw new Stop(EXIT.usage, `${file} is not all UTF-8: save it as such, then run this again; ${NOTHING}`);
}

/** On disk beside the file; throws Stop where that cannot be, or the file itself is not to be written. */
export function prepare(original: Original, text: string): NewText {
  const { path, bytes } = original;
  const beside = join(dirname(path), `.${basename(path)}.${process.pid}.new`);
  const discard = (): void => {
    rmSync(beside, { force: true });
  };
  try {
    accessSync(path, constants.W_OK);
    writeSynced(beside, text, path);
  } catch (error) {
    discard();
    throw notWritten(path, error);
  }
  return {
    takePlace() {
      if (!readFileSync(path).equals(bytes)) {
        discard();
        throw new Stop(
          EXIT.surroundings,
          `${path} was changed meanwhile: run this again; ${NOTHING} into it`,
        );
      }
      try {
        renameSync(beside, path);
        syncFolder(dirname(path));
      } catch (error) {
        discard();
        throw notWritten(path, error);
      }
    },
    discard,
  };
}

/** With the mode of the file that it is for, and with its owner where we may give it away. */
function writeSynced(beside: string, text: string, of: string): void {
  const { mode, uid, gid } = statSync(of);
  const file = openSync(beside, 'w', 0o600);
  try {
    writeFileSync(file, text);
    if (process.getuid?.() === 0) fchownSync(file, uid, gid);
    fchmodSync(file, mode);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

/** The new name outlives a power cut too. */
function syncFolder(folder: string): void {
  const opened = openSync(folder, 'r');
  try {
    fsyncSync(opened);
  } finally {
    closeSync(opened);
  }
}

function notWritten(path: string, error: unknown): Stop {
  return new Stop(
    EXIT.surroundings,
    `${path} cannot be written (${messageOf(error)}): make it and its folder writable; ${NOTHING} into it`,
  );
}
