/** A real API on a free port of loopback, with a real record in a folder of its own; gone after the test. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Writable } from 'node:stream';
import type { FastifyInstance } from 'fastify';
import { pino } from 'pino';
import { expect, onTestFinished } from 'vitest';
import { type ApiOptions, buildApi, listenApi, type Tokens, tokensFrom } from '../../../src/api/index.ts';
import { type EventRecord, openRecord } from '../../../src/record/index.ts';
import { answersBy } from '../../helpers/described.ts';
import { type SmallBench, smallBench } from './small-bench.ts';

export interface OpenApi {
  readonly url: string;
  readonly app: FastifyInstance;
  readonly bench: SmallBench;
  readonly record: EventRecord;
  /** Lines of the log so far, as JSON. */
  readonly log: string[];
  readonly close: () => Promise<void>;
}

export interface Wanted {
  readonly tokens?: readonly string[];
  readonly pageFolder?: string;
  readonly classroom?: ApiOptions['classroom'];
  readonly limits?: ApiOptions['limits'];
  /** Of the record. */
  readonly limitBytes?: number;
  /** Stands in the record's place as the API sees it. */
  readonly seen?: (record: EventRecord) => EventRecord;
}

export async function openApi(wanted: Wanted = {}): Promise<OpenApi> {
  const { tokens, ...built } = await buildOne(wanted);
  const url = await listenApi(built.app, { host: '127.0.0.1', port: 0, tokens });
  return { ...built, url };
}

/** Built, but not yet told to listen. */
export async function unopenedApi(tokens: readonly string[] = []): Promise<Omit<OpenApi, 'url'>> {
  return await buildOne({ tokens });
}

async function buildOne(wanted: Wanted): Promise<Omit<OpenApi, 'url'> & { readonly tokens: Tokens }> {
  const folder = await mkdtemp(join(tmpdir(), 'leakbench-api-'));
  const record = openRecord({ folder, rigName: 'Tide Street', limitBytes: wanted.limitBytes });
  const outcome = tokensFrom(wanted.tokens ?? []);
  if (!outcome.ok) throw new Error(outcome.problem);
  const log: string[] = [];
  const bench = smallBench();
  const app = buildApi({
    port: bench,
    classroom: wanted.classroom ?? null,
    record: wanted.seen?.(record) ?? record,
    tokens: outcome.tokens,
    logger: pino({ level: 'trace' }, logTo(log)),
    pageFolder: wanted.pageFolder ?? join(folder, 'no-page'),
    version: '9.8.7',
    ...(wanted.limits === undefined ? {} : { limits: wanted.limits }),
  });
  const unlike = holdToDescription(app);
  let open = true;
  const close = async (): Promise<void> => {
    if (!open) return;
    open = false;
    await app.close();
    record.close();
    await rm(folder, { recursive: true });
    expect(unlike).toEqual([]);
  };
  onTestFinished(close);
  return { app, bench, record, log, close, tokens: outcome.tokens };
}

/** The description is the same for every API of a process. */
let describedAs: ReturnType<typeof answersBy> | undefined;

/** Whatever an API answers in a test must be as it is described; here stands what is not. */
function holdToDescription(app: FastifyInstance): readonly string[] {
  const unlike: string[] = [];
  app.addHook('onSend', (request, reply, payload, done) => {
    const { url = '', schema } = request.routeOptions;
    if (schema?.operationId !== undefined && request.method !== 'HEAD' && typeof payload === 'string') {
      describedAs ??= answersBy(app.swagger());
      const path = url.replace(/:(\w+)/gu, '{$1}');
      const type = String(reply.getHeader('content-type'));
      const wrong = describedAs({
        method: request.method,
        path,
        status: reply.statusCode,
        type,
        text: payload,
      });
      if (wrong !== null) unlike.push(wrong);
    }
    done();
  });
  return unlike;
}

function logTo(lines: string[]): Writable {
  return new Writable({
    write(chunk: Buffer, _encoding, done) {
      lines.push(chunk.toString());
      done();
    },
  });
}
