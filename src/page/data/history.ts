/**
 * Events folded into what the page draws: curves, switches, hazards and the list. One pure function; the
 * same events in the same order give the same history, in whatever portions they arrive.
 *
 * Invariants: points of a curve ascend in time; a history speaks of one run of the bench only, because bench
 * time begins anew with each, or, at a fresh start, the air and all that is in it; `lastSequence` is that of
 * the last event folded in.
 */
import type { CloudEvent, Fact, Severity } from '../../events/index.ts';
import { type Items, Series } from './series.ts';
import { added, seriesOf, shortened, type Timed } from './timed.ts';

/** A step: the value holds from `atMs` on; null is no reading. */
export interface Point {
  readonly atMs: number;
  readonly value: number | null;
}

export interface Switch {
  readonly atMs: number;
  readonly on: boolean;
}

/** A hazard on a subject (a sensor, `fan`, `rig` …) from when to when; null while it stands. */
export interface Span {
  readonly hazard: string;
  readonly subject: string;
  readonly text: string;
  readonly fromMs: number;
  readonly toMs: number | null;
}

/** What happened at a moment, as far as a timeline marks it: from notice on. */
export interface Moment {
  readonly atMs: number;
  /** The catalogue's id. */
  readonly id: string;
  readonly severity: Severity;
  readonly text: string;
}

/** What a clock on the wall showed at a moment of bench time. */
export interface WallTime {
  readonly atMs: number;
  readonly wallMs: number;
}

export interface History {
  readonly lastSequence: number;
  readonly latestAtMs: number;
  /** Moment of the run's first event known to us; null before any. */
  readonly beganAtMs: number | null;
  /** True gas by sensor or place. */
  readonly gas: ReadonlyMap<string, Items<Point>>;
  readonly readings: ReadonlyMap<string, Items<Point>>;
  /** By output: what the supervisor commanded. */
  readonly commands: ReadonlyMap<string, Items<Switch>>;
  /** By output: what stands at the terminal. */
  readonly terminals: ReadonlyMap<string, Items<Switch>>;
  readonly hazards: readonly Span[];
  readonly moments: Items<Moment>;
  readonly wall: Items<WallTime>;
  /** Of what powers the controller, what was cut and has not come back. */
  readonly suppliesOff: ReadonlySet<string>;
  /** Everything but curves, oldest first. */
  readonly list: readonly CloudEvent[];
  /** Why the mitigation went into its present state. */
  readonly reason: string | null;
}

/** A cut of the whole rig takes the controller with it. */
export const CONTROLLER_SUPPLIES: ReadonlySet<string> = new Set(['controller', 'rig']);

export const NO_HISTORY: History = {
  lastSequence: 0,
  latestAtMs: 0,
  beganAtMs: null,
  gas: new Map(),
  readings: new Map(),
  commands: new Map(),
  terminals: new Map(),
  hazards: [],
  moments: [],
  wall: [],
  suppliesOff: new Set(),
  list: [],
  reason: null,
};

/** Twice the longest window that the chart offers by a button, so that there is something to go back to. */
export const KEPT_MS = 2 * 60 * 60_000;
/** Of one curve: two hours of a reading a second and some more. A busier one is kept for a shorter time. */
export const POINTS_MAX = 8000;
/** Of switches of one output, marked moments, and hazards: more than a bench tells in two hours. */
export const CHANGES_MAX = 2000;
/** What a person scrolls through; the whole record is a command away. */
export const LIST_MAX = 300;
/** Facts of two authors may be stored a little out of order; more than this at a start is a new run. */
const OUT_OF_ORDER_MS = 2000;
/** Between two moments of which the wall's time is kept; what lies between is worked out. */
const WALL_EVERY_MS = 1000;

/** A history that this fold made: its lists can be added to. */
type Draft = {
  -readonly [Key in keyof History]: History[Key] extends ReadonlyMap<string, Items<infer Item>>
    ? Map<string, Series<Item>>
    : History[Key];
} & { moments: Series<Moment>; wall: Series<WallTime>; list: CloudEvent[]; hazards: Span[] };

export function foldAll(history: History, events: readonly CloudEvent[]): History {
  if (events.length === 0) return history;
  const draft = draftOf(history);
  for (const event of events) fold(draft, event);
  prune(draft);
  return draft;
}

function fold(draft: Draft, event: CloudEvent): void {
  const { atMs, severity } = event.data;
  const fact = factOf(event);
  draft.lastSequence = event.sequence;
  if (beginsRun(fact, draft.latestAtMs)) beginRun(draft, atMs);
  draft.beganAtMs ??= atMs;
  draft.latestAtMs = Math.max(draft.latestAtMs, atMs);
  if (severity !== 'trace') draft.list.push(event);
  if (severity !== 'trace' && severity !== 'info') {
    draft.moments = added(draft.moments, { atMs, id: fact.id, severity, text: event.data.text });
  }
  noteWallTime(draft, atMs, event.time);
  foldFact(draft, fact);
}

function noteWallTime(draft: Draft, atMs: number, time: string): void {
  const lastMs = draft.wall.at(-1)?.atMs ?? Number.NEGATIVE_INFINITY;
  if (atMs >= lastMs + WALL_EVERY_MS) draft.wall = draft.wall.with({ atMs, wallMs: Date.parse(time) });
}

/** A supervisor alone has no bench to start: for it, its own start at an earlier time is one. */
function beginsRun(fact: Fact, latestAtMs: number): boolean {
  if (fact.id === 'bench.started' || fact.id === 'bench.reset') return true;
  return fact.id === 'supervisor.started' && fact.atMs < latestAtMs - OUT_OF_ORDER_MS;
}

/** The record took it from the catalogue, so its fields are those of its id. */
function factOf(event: CloudEvent): Fact {
  const id = event.type.slice(event.type.indexOf('.') + 1);
  return { id, atMs: event.data.atMs, fields: event.data.fields } as unknown as Fact;
}

function foldFact(draft: Draft, fact: Fact): void {
  const { atMs } = fact;
  switch (fact.id) {
    case 'gas.changed':
      put(draft.gas, fact.fields.at, { atMs, value: fact.fields.percentLfl });
      break;
    case 'reading.changed':
      put(draft.readings, fact.fields.sensor, { atMs, value: fact.fields.percentLfl });
      break;
    case 'command.changed':
      put(draft.commands, fact.fields.output, { atMs, on: fact.fields.on });
      break;
    case 'output.changed':
      put(draft.terminals, fact.fields.output, { atMs, on: fact.fields.on });
      break;
    case 'hazard.raised':
      draft.hazards.push({ ...fact.fields, fromMs: atMs, toMs: null });
      break;
    case 'hazard.cleared':
      endHazards(draft, atMs, (span) => isOf(span, fact.fields.hazard, fact.fields.subject));
      break;
    case 'mitigation.changed':
      draft.reason = fact.fields.reason;
      break;
    case 'supervisor.started':
      forgetSupervisor(draft, atMs);
      draft.reason = fact.fields.reason;
      break;
    case 'supervisor.stopped':
    case 'supervisor.failed':
      forgetSupervisor(draft, atMs);
      break;
    case 'power.cut':
    case 'power.restored':
      noteSupply(draft, fact.fields.to, fact.id === 'power.restored', atMs);
      break;
    default:
  }
}

function isOf(span: Span, hazard: string, subject: string): boolean {
  return span.hazard === hazard && span.subject === subject;
}

/** Nothing of an earlier run can be drawn on this run's time; the list stays, as a person reads it. */
function beginRun(draft: Draft, atMs: number): void {
  for (const series of [draft.gas, draft.readings, draft.commands, draft.terminals]) series.clear();
  draft.hazards = [];
  draft.moments = Series.empty();
  draft.wall = Series.empty();
  draft.suppliesOff = new Set();
  draft.reason = null;
  draft.beganAtMs = atMs;
  draft.latestAtMs = atMs;
}

export function controllerOff({ suppliesOff }: History): boolean {
  return suppliesOff.size > 0;
}

function noteSupply(draft: Draft, to: string, on: boolean, atMs: number): void {
  if (!CONTROLLER_SUPPLIES.has(to)) return;
  const off = new Set(draft.suppliesOff);
  if (on) off.delete(to);
  else off.add(to);
  draft.suppliesOff = off;
  forgetSupervisor(draft, atMs);
}

/**
 * A supervisor that stops, loses its power or starts commands nothing and holds nothing true, whatever it
 * was before: what it read last is no reading any longer.
 */
function forgetSupervisor(draft: Draft, atMs: number): void {
  endHazards(draft, atMs, () => true);
  for (const [output, switches] of draft.commands) {
    if (switches.at(-1)?.on === true) put(draft.commands, output, { atMs, on: false });
  }
  for (const [sensor, points] of draft.readings) {
    if (points.at(-1)?.value !== null) put(draft.readings, sensor, { atMs, value: null });
  }
}

function endHazards(draft: Draft, toMs: number, which: (span: Span) => boolean): void {
  draft.hazards = draft.hazards.map((span) => (span.toMs === null && which(span) ? { ...span, toMs } : span));
}

function put<Item extends Timed>(lists: Map<string, Series<Item>>, key: string, item: Item): void {
  lists.set(key, added(lists.get(key) ?? Series.empty<Item>(), item));
}

function draftOf(history: History): Draft {
  return {
    ...history,
    gas: growing(history.gas),
    readings: growing(history.readings),
    commands: growing(history.commands),
    terminals: growing(history.terminals),
    moments: seriesOf(history.moments),
    wall: seriesOf(history.wall),
    hazards: [...history.hazards],
    list: [...history.list],
  };
}

function growing<Item>(lists: ReadonlyMap<string, Items<Item>>): Map<string, Series<Item>> {
  return new Map([...lists].map(([key, items]) => [key, seriesOf(items)]));
}

/** Drops what no window shows; the last step before the window stays, for it holds at its left edge. */
function prune(draft: Draft): void {
  const fromMs = draft.latestAtMs - KEPT_MS;
  for (const curves of [draft.gas, draft.readings]) {
    for (const [key, points] of curves) curves.set(key, shortened(points, fromMs, POINTS_MAX));
  }
  for (const outputs of [draft.commands, draft.terminals]) {
    for (const [key, switches] of outputs) outputs.set(key, shortened(switches, fromMs, CHANGES_MAX));
  }
  draft.moments = shortened(draft.moments, fromMs, CHANGES_MAX);
  draft.wall = shortened(draft.wall, fromMs, POINTS_MAX);
  draft.hazards = draft.hazards
    .filter((span) => span.toMs === null || span.toMs >= fromMs)
    .slice(-CHANGES_MAX);
  draft.list = draft.list.slice(-LIST_MAX);
  if (draft.beganAtMs !== null) draft.beganAtMs = Math.max(draft.beganAtMs, fromMs);
}
