/**
 * Keeps the page on the bench's record: reads the recent past once, follows the stream, and after a break
 * goes on from the last event it has seen. A break is told, never hidden: what is shown meanwhile is old.
 */
import type { CloudEvent } from '../../events/index.ts';
import type { Link, RigView, Snapshot } from '../types.ts';
import type { Api, Got } from './api.ts';
import { FIRST_PAUSE_MS, type Following, follow, nextPauseMs, type OpenSocket } from './follow.ts';
import { KEPT_MS } from './history.ts';
import { recentEvents } from './recent.ts';

export interface ConnectionEvents {
  readonly rig: (rig: RigView) => void;
  readonly snapshot: (snapshot: Snapshot) => void;
  /** The record is another one than before, or the first: forget what was folded, and begin with these. */
  readonly begin: (events: readonly CloudEvent[]) => void;
  readonly take: (event: CloudEvent) => void;
  /** `problem` is a sentence where there is one to tell. */
  readonly link: (link: Link, problem: string | null) => void;
}

/** A socket that lived this long was a good one, even if nothing happened on the bench. */
const GOOD_AFTER_MS = 5000;
/** RFC 9110 section 15.5.2: without another token no further try can succeed. */
const UNAUTHORIZED = 401;

export interface Connection {
  /** Gives the present socket up for a new one, as when it is found to bring nothing. */
  readonly renew: () => void;
  /** Tries again at once, as when a token was given. */
  readonly retry: () => void;
  readonly stop: () => void;
}

type Refused = Extract<Got<unknown>, { readonly ok: false }>;

export function connect(api: Api, open: OpenSocket, on: ConnectionEvents): Connection {
  let last: CloudEvent | null = null;
  let following: Following | null = null;
  let stopped = false;
  let wake = (): void => undefined;

  const prepare = async (): Promise<Refused | null> => {
    const [rig, now] = await Promise.all([api.rig(), api.now()]);
    if (!rig.ok) return rig;
    if (!now.ok) return now;
    on.rig(rig.value);
    on.snapshot(now.value);
    if (await isSameRecord(api, last)) return null;
    const recent = await recentEvents(api, now.value.sequence, KEPT_MS);
    if (!recent.ok) return recent;
    last = recent.value.at(-1) ?? null;
    on.begin(recent.value);
    return null;
  };

  const attend = async (): Promise<boolean> => {
    const beganMs = Date.now();
    following = follow(open, (after) => api.streamUrl(after), last?.sequence ?? 0, {
      opened: () => {
        on.link('live', null);
      },
      take: (event) => {
        last = event;
        on.take(event);
      },
    });
    const count = await following.ended;
    return count > 0 || Date.now() - beganMs >= GOOD_AFTER_MS;
  };

  const run = async (): Promise<void> => {
    let pauseMs = FIRST_PAUSE_MS;
    while (!stopped) {
      const problem = await prepare();
      const good = problem === null && (await attend());
      const isLocked = problem?.status === UNAUTHORIZED;
      on.link(isLocked ? 'locked' : 'lost', problem?.text ?? null);
      await new Promise<void>((resolve) => {
        wake = resolve;
        if (!isLocked) setTimeout(resolve, pauseMs);
      });
      pauseMs = nextPauseMs(pauseMs, good);
    }
  };

  void run();
  return {
    renew: () => following?.close(),
    retry: () => {
      wake();
    },
    stop: () => {
      stopped = true;
      wake();
      following?.close();
    },
  };
}

/**
 * A bench started anew with an empty record counts from 1 again, so a sequence alone proves nothing: the
 * event that we saw last must still stand at its place (ids are unique across records).
 */
async function isSameRecord(api: Api, last: CloudEvent | null): Promise<boolean> {
  if (last === null) return false;
  const got = await api.events(last.sequence - 1, 1);
  const there = got.ok ? got.value[0] : undefined;
  return there?.sequence === last.sequence && there.id === last.id && there.time === last.time;
}
