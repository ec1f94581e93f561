/**
 * The bench's HTTP side as the page uses it. Trouble is a value: a refusal carries the sentence of the
 * bench's problem details (RFC 9457), a bench that does not answer carries our own.
 */
import type { CloudEvent } from '../../events/index.ts';
import type { PollReport } from '../polls/types.ts';
import { T } from '../texts/index.ts';
import type { DrillListing, DrillReport, Recording, RigView, Snapshot } from '../types.ts';

export type Got<Value> = { readonly ok: true; readonly value: Value } | Refused;

export interface Refused {
  readonly ok: false;
  /** HTTP status; 0 where nothing answered. */
  readonly status: number;
  readonly text: string;
}

export interface Api {
  rig(): Promise<Got<RigView>>;
  now(): Promise<Got<Snapshot>>;
  pollReport(): Promise<Got<PollReport>>;
  /** Whether this token may change the bench: asked of what only such a token may read. */
  mayChange(): Promise<boolean>;
  /** Events after a sequence, oldest first; the bench may give fewer than asked. */
  events(after: number, limit: number): Promise<Got<readonly CloudEvent[]>>;
  step(step: unknown): Promise<Got<unknown>>;
  clock(change: ClockChange): Promise<Got<unknown>>;
  drills(): Promise<Got<{ readonly drills: readonly DrillListing[] }>>;
  /** The drill that plays or was played last, judged as far as it is over. */
  drill(): Promise<Got<DrillReport>>;
  play(drill: { readonly id: string } | { readonly text: string }): Promise<Got<unknown>>;
  stopDrill(): Promise<Got<unknown>>;
  /** New air, new sensors, equipment at rest. */
  restart(): Promise<Got<unknown>>;
  /** What was done by hand since, as a drill file of this name. */
  recording(name: string): Promise<Got<Recording>>;
  streamUrl(after: number): string;
}

export interface ClockChange {
  readonly speed?: number;
  readonly paused?: boolean;
  readonly toNextEvent?: true;
}

type Method = 'GET' | 'POST' | 'DELETE';

/** A bench on the same machine answers within milliseconds; one that needs longer is as good as gone. */
const ANSWER_WITHIN_MS = 5000;

const FORBIDDEN = 403;

/** `base` is where the page itself came from; `token` goes along with every request where there is one. */
export function createApi(base: string, token: string | null): Api {
  const ask = async <Value>(path: string, body?: unknown, method?: Method): Promise<Got<Value>> => {
    try {
      const response = await fetch(new URL(path, base), {
        method: method ?? (body === undefined ? 'GET' : 'POST'),
        headers: {
          ...(token === null ? {} : { authorization: `Bearer ${token}` }),
          ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
      });
      const text = await response.text();
      if (!response.ok)
        return { ok: false, status: response.status, text: problemText(response.status, text) };
      return { ok: true, value: (text === '' ? null : JSON.parse(text)) as Value };
    } catch {
      return { ok: false, status: 0, text: T.noAnswer };
    }
  };
  return {
    rig: () => ask<RigView>('api/v1/rig'),
    now: () => ask<Snapshot>('api/v1/now'),
    pollReport: () => ask<PollReport>('api/v1/poll-report'),
    mayChange: async () => {
      if (token === null) return true;
      const got = await ask('api/v1/class');
      return got.ok || got.status !== FORBIDDEN;
    },
    events: async (after, limit) => {
      const path = `api/v1/events?after=${after}&limit=${limit}`;
      const got = await ask<{ readonly events: readonly CloudEvent[] }>(path);
      return got.ok ? { ok: true, value: got.value.events } : got;
    },
    step: (step) => ask('api/v1/steps', step),
    clock: (change) => ask('api/v1/clock', change),
    drills: () => ask('api/v1/drills'),
    drill: () => ask('api/v1/drill'),
    play: (drill) => ask('api/v1/drill', drill),
    stopDrill: () => ask('api/v1/drill', undefined, 'DELETE'),
    restart: () => ask('api/v1/restart', {}),
    recording: (name) => ask(`api/v1/recording${name === '' ? '' : `?name=${encodeURIComponent(name)}`}`),
    streamUrl: (after) => {
      const url = new URL(`api/v1/stream?after=${after}`, base);
      url.protocol = url.protocol === 'https:' ? 'wss:' : 'ws:';
      if (token !== null) url.searchParams.set('token', token);
      return url.href;
    },
  };
}

/** RFC 9457 section 3.1: `detail` explains this occurrence, `title` the kind. */
function problemText(status: number, body: string): string {
  try {
    const { detail, title } = JSON.parse(body) as { readonly detail?: unknown; readonly title?: unknown };
    if (typeof detail === 'string' && detail !== '') return detail;
    if (typeof title === 'string' && title !== '') return title;
  } catch {
    // Not a problem document: a proxy in between, perhaps. The status is all there is to tell.
  }
  return T.strangeAnswer(status);
}
