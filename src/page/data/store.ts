/** What the page knows, as signals: whatever a component reads, it follows. */
import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { CloudEvent } from '../../events/index.ts';
import { UNIT_SYSTEMS, type UnitSystem } from '../../units/shown.ts';
import type { Link, RigView } from '../types.ts';
import type { Api } from './api.ts';
import { type Connection, connect } from './connection.ts';
import type { OpenSocket } from './follow.ts';
import { foldAll, type History, NO_HISTORY } from './history.ts';
import { kept } from './kept.ts';
import { createLights, type Lights } from './lights.ts';
import { createOpened, type Opened } from './opened.ts';
import { createRefresher } from './refresher.ts';
import { createRefusals, type Refusals } from './refusals.ts';
import { createShown, type Shown } from './shown.ts';

export interface Store extends Lights {
  readonly api: Api;
  readonly rig: ReadonlySignal<RigView | null>;
  readonly shown: Omit<Shown, 'show'>;
  readonly history: ReadonlySignal<History>;
  readonly link: ReadonlySignal<Link>;
  /** Why there is no link, as a sentence. */
  readonly problem: ReadonlySignal<string | null>;
  /** The newest warning or alarm since the page was opened, for those who hear the page. */
  readonly news: ReadonlySignal<string>;
  readonly refusals: Refusals;
  /** This token may look and change nothing. */
  readonly isViewer: ReadonlySignal<boolean>;
  readonly units: ReadonlySignal<UnitSystem>;
  readonly chooseUnits: (system: UnitSystem) => void;
  /** Which panel of things to do stands open. */
  readonly hands: Opened;
  /** What is asked "why?". */
  readonly asked: Opened;
  /** A token was given: connects with it. */
  readonly retry: () => void;
  /** Asks for a new snapshot soon, as after something was changed. */
  readonly refresh: () => void;
}

const SNAPSHOT_GAP_MS = 250;
const SNAPSHOT_EVERY_MS = 1000;
/** Events are folded in portions: a busy bench at speed 20 tells hundreds a second. */
const FOLD_EVERY_MS = 80;
/** The record is ahead of the stream for this long: the socket looks open and is dead. */
const STREAM_BEHIND_MS_MAX = 5000;

export function createStore(api: Api, open: OpenSocket): Store {
  const rig = signal<RigView | null>(null);
  const history = signal<History>(NO_HISTORY);
  const link = signal<Link>('connecting');
  const problem = signal<string | null>(null);
  const news = signal('');
  const shown = createShown();
  const refusals = createRefusals();
  const rights = createRights(api);
  const units = kept<UnitSystem>('units', UNIT_SYSTEMS, 'si');
  const refresher = createRefresher(async () => {
    if (link.peek() === 'locked') return;
    const got = await api.now();
    if (got.ok) shown.show(got.value);
  }, SNAPSHOT_GAP_MS);

  let waiting: CloudEvent[] = [];
  const foldWaiting = (): void => {
    const events = waiting;
    waiting = [];
    history.value = foldAll(history.value, events);
    news.value = newsOf(events) ?? news.value;
    if (events.some((event) => event.data.severity === 'notice')) refusals.forgiveAll();
    refresher.want();
  };
  const connection = connect(api, open, {
    rig: (value) => {
      rig.value = value;
      rights.ask();
    },
    snapshot: shown.show,
    begin: (events) => {
      waiting = [];
      history.value = foldAll(NO_HISTORY, events);
    },
    take: (event) => {
      if (waiting.push(event) === 1) setTimeout(foldWaiting, FOLD_EVERY_MS);
    },
    link: (value, text) => {
      link.value = value;
      problem.value = text;
      if (value === 'live') refusals.clear();
    },
  });
  const behindAt = (): number | null => {
    const at = history.value.lastSequence;
    return link.value === 'live' && (shown.snapshot.value?.sequence ?? 0) > at ? at : null;
  };
  setInterval(refresher.want, SNAPSHOT_EVERY_MS);
  renewWhenStuck(connection, behindAt);
  return {
    api,
    rig,
    shown,
    history,
    link,
    problem,
    news,
    refusals,
    isViewer: computed(() => rights.isBarred.value || refusals.isViewer.value),
    ...createLights(),
    units: units.value,
    chooseUnits: units.choose,
    hands: createOpened(),
    asked: createOpened(),
    retry: connection.retry,
    refresh: refresher.want,
  };
}

/** Whether this token may only look, asked with each connection: it may be another token than before. */
function createRights(api: Api): { readonly isBarred: ReadonlySignal<boolean>; readonly ask: () => void } {
  const isBarred = signal(false);
  return {
    isBarred,
    ask: () => {
      void api.mayChange().then((may) => {
        isBarred.value = !may;
      });
    },
  };
}

/** `behindAt`: the sequence at which the stream lags behind the record now, or null where it does not. */
function renewWhenStuck(connection: Connection, behindAt: () => number | null): void {
  let stuckAt: number | null = null;
  let sinceMs = 0;
  setInterval(() => {
    const at = behindAt();
    if (at === null || at !== stuckAt) {
      stuckAt = at;
      sinceMs = performance.now();
    } else if (performance.now() - sinceMs >= STREAM_BEHIND_MS_MAX) {
      stuckAt = null;
      connection.renew();
    }
  }, SNAPSHOT_EVERY_MS);
}

function newsOf(events: readonly CloudEvent[]): string | undefined {
  return events.findLast(({ data }) => data.severity === 'warning' || data.severity === 'alarm')?.data.text;
}
