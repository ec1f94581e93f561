/** The bench's HTTP side as the page uses it. */
import type { CloudEvent } from '../../events/index.ts';
import type { PollReport } from '../polls/types.ts';
import type { DrillListing, DrillReport, Recording, RigView, Snapshot } from '../types.ts';
import { createAsk, type Got } from './ask.ts';

export type { Got };

export interface Api {
  rig(): Promise<Got<RigView>>;
  now(): Promise<Got<Snapshot>>;
  pollReport(): Promise<Got<PollReport>>;
  countPollsAnew(): Promise<Got<unknown>>;
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

const FORBIDDEN = 403;

/** `base` is where the page itself came from; the token goes along with every request where there is one. */
export function createApi(base: string, secret: () => string | null): Api {
  const ask = createAsk(base, secret);
  return {
    rig: () => ask<RigView>('GET', 'api/v1/rig'),
    now: () => ask<Snapshot>('GET', 'api/v1/now'),
    pollReport: () => ask<PollReport>('GET', 'api/v1/poll-report'),
    countPollsAnew: () => ask('POST', 'api/v1/poll-report/anew', {}),
    mayChange: async () => {
      if (secret() === null) return true;
      const got = await ask('GET', 'api/v1/class');
      return got.ok || got.status !== FORBIDDEN;
    },
    events: async (after, limit) => {
      const path = `api/v1/events?after=${after}&limit=${limit}`;
      const got = await ask<{ readonly events: readonly CloudEvent[] }>('GET', path);
      return got.ok ? { ok: true, value: got.value.events } : got;
    },
    step: (step) => ask('POST', 'api/v1/steps', step),
    clock: (change) => ask('POST', 'api/v1/clock', change),
    drills: () => ask('GET', 'api/v1/drills'),
    drill: () => ask('GET', 'api/v1/drill'),
    play: (drill) => ask('POST', 'api/v1/drill', drill),
    stopDrill: () => ask('DELETE', 'api/v1/drill'),
    restart: () => ask('POST', 'api/v1/restart', {}),
    recording: (name) =>
      ask('GET', `api/v1/recording${name === '' ? '' : `?name=${encodeURIComponent(name)}`}`),
    streamUrl: (after) => {
      const url = new URL(`api/v1/stream?after=${after}`, base);
      url.protocol = url.protocol === 'https:' ? 'wss:' : 'ws:';
      const token = secret();
      if (token !== null) url.searchParams.set('token', token);
      return url.href;
    },
  };
}
