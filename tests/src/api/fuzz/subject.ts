/**
 * The bench that is fuzzed: a real one, world and supervisor over real sockets, with a class, behind the API.
 * Between the two stands a watcher that notes every change the API asks the bench for.
 */

import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import type { FastifyInstance } from 'fastify';
import pino from 'pino';
import type { ClassPort } from '../../../../src/api/class-port.ts';
import { type ApiLimits, buildApi, listenApi, tokensFrom } from '../../../../src/api/index.ts';
import { Failure } from '../../../../src/app/failure.ts';
import { rigOrStop } from '../../../../src/app/rig-option.ts';
import { type Closers, startBench } from '../../../../src/app/start-bench.ts';
import { benchClock } from '../../../../src/clock/index.ts';
import { packageRoot } from '../../../../src/files/index.ts';
import { type EventRecord, openRecord } from '../../../../src/record/index.ts';
import { parseAddress } from '../../../../src/rig/index.ts';
import { freshFolder } from '../../../helpers/bench-process.ts';
import type { Who } from './requests.ts';

const TEACHER = 'teach-12345';
const VIEWER = 'watch-12345';
/** What was asked before the clock stood still is answered by then. */
const ON_THE_WIRE_MS_MAX = 400;
const CHANGES_BENCH = ['applyStep', 'setClock', 'restart', 'playDrill', 'stopDrill'];
const CHANGES_CLASS = ['open', 'close', 'startLesson', 'reveal', 'dropLesson', 'giveHand', 'removeSeat'];
const CHANGES_SEAT = ['answer', 'flip'];
/** Anybody may try to join: it takes the code, which stands on the instructor's screen. */
const JOINS = ['join'];

/** What each may have asked the bench for. */
export const MAY: Readonly<Record<Who, readonly string[]>> = {
  nobody: JOINS,
  stranger: JOINS,
  viewer: JOINS,
  seat: [...CHANGES_SEAT, ...JOINS],
  instructor: [...CHANGES_BENCH, ...CHANGES_CLASS, ...JOINS],
};

/** A fuzzer asks more often than any client may: what is tried here is what comes behind the limits. */
const LIMITS: Partial<ApiLimits> = {
  loopbackRequestsPerMinute: 1e9,
  seatRequestsPerMinute: 1e9,
  loopbackWrongCodesPerMinute: 1e9,
  allWrongCodesPerMinute: 1e9,
};

export interface Subject {
  readonly app: FastifyInstance;
  readonly url: string;
  readonly record: EventRecord;
  /** Changes that the bench was asked for since the last call. */
  readonly taken: () => readonly string[];
  readonly bearer: (who: Who) => Promise<string | null>;
  /** Lets bench time stand still, so that nothing changes by itself; resolves once it does. */
  readonly still: () => Promise<void>;
  /** All that can be seen of the bench, as text. */
  readonly picture: () => Promise<string>;
  /** Lines of its log that tell of a fault, so far. */
  readonly faults: readonly string[];
  readonly close: () => Promise<void>;
}

export async function fuzzSubject(): Promise<Subject> {
  const folder = freshFolder();
  const loaded = rigOrStop(undefined);
  const record = openRecord({ folder, rigName: loaded.rig.name });
  const clock = benchClock(1);
  const faults: string[] = [];
  const log = pino({ level: 'error' }, { write: (line: string) => void faults.push(line) });
  const closers: Closers = [() => rm(folder, { recursive: true })];
  closers.push(() => {
    record.close();
  });
  const options = {
    ...{ host: '127.0.0.1', port: 0, speed: 1, seed: 1, token: [], bus: [] },
    ...{ data: folder, recordLimit: '64MiB' },
  };
  const bus = new Map(loaded.rig.lines.map(({ id }) => [id, anyPort()]));
  const started = await startBench(
    'serve',
    loaded,
    options,
    bus,
    { record, clock, log, failure: new Failure(log) },
    closers,
  );
  const { classroom } = started;
  if (classroom === null) throw new Error('a bench with sensors has a class');
  const changes: string[] = [];
  const given = tokensFrom([TEACHER, `viewer:${VIEWER}`]);
  if (!given.ok) throw new Error(given.problem);
  const app = buildApi({
    port: watched(started.bench, CHANGES_BENCH, changes),
    classroom: watched(classroom, [...CHANGES_CLASS, ...CHANGES_SEAT, ...JOINS], changes),
    record,
    tokens: given.tokens,
    logger: log,
    pageFolder: join(packageRoot(), 'src/page'),
    version: '0.0.0',
    limits: LIMITS,
  });
  closers.push(() => app.close());
  const url = await listenApi(app, { host: '127.0.0.1', port: 0, tokens: given.tokens });
  const seatKey = keyFor(classroom);
  const words = { nobody: null, stranger: 'other-12345', viewer: VIEWER, instructor: TEACHER };
  const picture = async (): Promise<string> =>
    JSON.stringify([started.bench.snapshot(), await classroom.picture(), record.lastSequence()]);
  return {
    ...{ app, url, record, faults },
    taken: () => changes.splice(0),
    picture,
    bearer: async (who) => (who === 'seat' ? await seatKey() : words[who]),
    still: async () => {
      clock.set({ paused: true });
      let before = '';
      for (let now = await picture(); now !== before; now = await picture()) {
        before = now;
        await setTimeout(ON_THE_WIRE_MS_MAX);
      }
    },
    close: async () => {
      for (const close of closers.reverse()) await close();
      clock.stop();
    },
  };
}

function anyPort() {
  const address = parseAddress('tcp://127.0.0.1:0');
  if (typeof address === 'string') throw new Error(address);
  return address;
}

/** The same object, with a note of each call of some of its methods. */
function watched<Watched extends object>(
  real: Watched,
  methods: readonly string[],
  changes: string[],
): Watched {
  return new Proxy(real, {
    get(target, name) {
      const value: unknown = Reflect.get(target, name);
      if (typeof value !== 'function') return value;
      return (...given: unknown[]): unknown => {
        if (methods.includes(String(name))) changes.push(String(name));
        return Reflect.apply(value, target, given);
      };
    },
  });
}

/** A key of a seat that is there: an instructor may have closed the class or removed the seat meanwhile. */
function keyFor(classroom: ClassPort): () => Promise<string> {
  let key = 'no-seat-yet';
  let joining: Promise<string> | null = null;
  const joined = async (): Promise<string> => {
    classroom.close();
    classroom.open();
    const outcome = classroom.join((await classroom.picture())?.code ?? '', 'Ann');
    // Somebody else may have closed it in between: then this one comes with a key that is none.
    if (outcome.ok) key = outcome.key;
    joining = null;
    return key;
  };
  return async () => {
    if (classroom.seatOf(key) !== null) return key;
    joining ??= joined();
    return await joining;
  };
}
