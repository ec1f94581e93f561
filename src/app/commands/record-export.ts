/** `record export`: the events of a record, all or some, as JSON lines or as a table. */
import { once } from 'node:events';
import { closeSync, openSync, realpathSync, writeSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { CATALOGUE, type CloudEvent, typeOf } from '../../events/index.ts';
import { suggestion } from '../../files/index.ts';
import { openReader } from '../../record/index.ts';
import { csvText } from '../../text/csv.ts';
import { isReaderGone, notWritten } from '../output.ts';
import { asStop, orStop } from '../record-or-stop.ts';
import { EXIT, Stop } from '../stop.ts';

export interface RecordFolder {
  readonly data: string;
  readonly json?: true;
}
export interface ExportOptions extends RecordFolder {
  readonly format: 'jsonl' | 'csv';
  readonly after: number;
  readonly type: readonly string[];
  readonly from?: string;
  readonly to?: string;
  readonly out?: string;
}

const COLUMNS = ['sequence', 'time', 'at_ms', 'severity', 'type', 'source', 'text', 'fields'] as const;
/** Written together: a system call for each event would take longer than reading it. */
const CHUNK_CHARACTERS = 64 * 1024;
const TIME = /^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d))?$/u;

export async function recordExport(options: ExportOptions): Promise<void> {
  const isWanted = wantedBy(options);
  if (options.out !== undefined) mustBeElsewhere(options.out, options.data);
  const reader = orStop(() => openReader(options.data));
  const sink = options.out === undefined ? standardOutput() : intoFile(options.out);
  try {
    if (options.format === 'csv') await sink.write(csvText([COLUMNS]));
    let chunk = '';
    try {
      for (const event of reader.events(options.after)) {
        if (isWanted(event)) chunk += options.format === 'csv' ? csvText([cells(event)]) : jsonLine(event);
        if (chunk.length < CHUNK_CHARACTERS) continue;
        await sink.write(chunk);
        chunk = '';
      }
    } finally {
      // What comes before a damaged place is good.
      await sink.write(chunk);
    }
  } catch (error) {
    // Who has seen enough has got what was asked for; the rest is read for nobody.
    if (!isReaderGone(error)) throw asStop(error);
  } finally {
    sink.close();
    reader.close();
  }
}

function jsonLine(event: CloudEvent): string {
  return `${JSON.stringify(event)}\n`;
}

function cells({ sequence, time, type, source, data }: CloudEvent): readonly (string | number)[] {
  return [sequence, time, data.atMs, data.severity, type, source, data.text, JSON.stringify(data.fields)];
}

function wantedBy({ type, from, to }: ExportOptions): (event: CloudEvent) => boolean {
  const types = new Set(type.flatMap(typesOf));
  const fromMs = timeOption('--from', from) ?? Number.NEGATIVE_INFINITY;
  const toMs = timeOption('--to', to) ?? Number.POSITIVE_INFINITY;
  return (event) => {
    const atMs = Date.parse(event.time);
    return (types.size === 0 || types.has(event.type)) && atMs >= fromMs && atMs < toMs;
  };
}

/** One type by its name, with or without what all begin with, or all of a family. */
function typesOf(written: string): readonly string[] {
  const ids = Object.keys(CATALOGUE) as (keyof typeof CATALOGUE)[];
  const name = written.replace(/^leakbench\./u, '');
  const meant = ids.filter((id) => id === name || id.startsWith(`${name}.`));
  if (meant.length > 0) return meant.map(typeOf);
  throw new Stop(EXIT.usage, `--type ${written}: no event is called so; ${suggestion(name, ids)}`);
}

function timeOption(name: string, written: string | undefined): number | null {
  if (written === undefined) return null;
  const ms = TIME.test(written) ? Date.parse(written) : Number.NaN;
  if (!Number.isNaN(ms)) return ms;
  throw new Stop(
    EXIT.usage,
    `${name} ${written}: it takes a date, or a date and time with its zone, such as 2026-03-01T08:00:00Z`,
  );
}

/** What is written over must not be the record itself. */
function mustBeElsewhere(out: string, data: string): void {
  if (pathOf(dirname(resolve(out))) !== pathOf(data)) return;
  throw new Stop(EXIT.usage, `--out ${out} is in the folder of the record; name a file elsewhere`);
}

function pathOf(folder: string): string {
  try {
    return realpathSync(folder);
  } catch {
    return resolve(folder);
  }
}

interface Sink {
  write(text: string): Promise<void>;
  close(): void;
}

function standardOutput(): Sink {
  return {
    write: async (text) => {
      if (!process.stdout.write(text)) await once(process.stdout, 'drain');
    },
    close: () => undefined,
  };
}

function intoFile(path: string): Sink {
  let file: number;
  try {
    file = openSync(path, 'w');
  } catch (error) {
    throw notWritten(path, error);
  }
  return {
    write: (text) => {
      const bytes = Buffer.from(text);
      try {
        for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
      } catch (error) {
        return Promise.reject(notWritten(path, error));
      }
      return Promise.resolve();
    },
    close: () => {
      closeSync(file);
    },
  };
}
