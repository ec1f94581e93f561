/** A real API on a free port of loopback, with a real record in a folder of its own. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Writable } from 'node:stream';
import type { FastifyInstance } from 'fastify';
import { pino } from 'pino';
import { type ApiOptions, buildApi, listenApi, tokensFrom } from '../../../src/api/index.ts';
import { type EventRecord, openRecord } from '../../../src/record/index.ts';
import { type SmallBench, smallBench } from './small-bench.ts';

export interface OpenApi {
  readonly url: string;
  readonly app: FastifyInstance;
  readonly bench: SmallBench;
  readonly record: EventRecord;
  /** Lines of the log so far, as JSON. */
  readonly log: string[];
  close(): Promise<void>;
}

export interface Wanted {
  readonly tokens?: readonly string[];
  readonly pageFolder?: string;
  readonly limits?: ApiOptions['limits'];
  /** Stands in the record's place as the API sees it. */
  readonly seen?: (record: EventRecord) => EventRecord;
}

export async function openApi(wanted: Wanted = {}): Promise<OpenApi> {
  const folder = await mkdtemp(join(tmpdir(), 'leakbench-api-'));
  const record = openRecord({ folder, rigName: 'Tide Street' });
  const outcome = tokensFrom(wanted.tokens ?? []);
  if (!outcome.ok) throw new Error(outcome.problem);
  const log: string[] = [];
  const bench = smallBench();
  const app = buildApi({
    port: bench,
    record: wanted.seen?.(record) ?? record,
    tokens: outcome.tokens,
    logger: pino({ level: 'trace' }, logTo(log)),
    pageFolder: wanted.pageFolder ?? join(folder, 'no-page'),
    version: '9.8.7',
    ...(wanted.limits === undefined ? {} : { limits: wanted.limits }),
  });
  const url = await listenApi(app, { host: '127.0.0.1', port: 0, tokens: outcome.tokens });
  return {
    url,
    app,
    bench,
    record,
    log,
    close: async () => {
      await app.close();
      record.close();
      await rm(folder, { recursive: true });
    },
  };
}

function logTo(lines: string[]): Writable {
  return new Writable({
    write(chunk: Buffer, _encoding, done) {
      lines.push(chunk.toString());
      done();
    },
  });
}
