/**
 * Events folded into what the page draws: curves, switches, hazards and the list. One pure function; the
 * same events in the same order give the same history, in whatever portions they arrive.
 *
 * Invariants: points of a curve ascend in time; a history speaks of one run of the bench only, because bench
 * time begins anew with each, or, at a fresh start, the air and all that is in it; `lastSequence` is that of
 * the last event folded in.
 */
import type { CloudEvent, Fact } from '../../events/index.ts';

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

export interface History {
  readonly lastSequence: number;
  readonly latestAtMs: number;
  /** Moment of the run's first event known to us; null before any. */
  readonly beganAtMs: number | null;
  /** True gas by sensor or place. */
  readonly gas: ReadonlyMap<string, readonly Point[]>;
  readonly readings: ReadonlyMap<string, readonly Point[]>;
  /** By output: what the supervisor commanded. */
  readonly commands: ReadonlyMap<string, readonly Switch[]>;
  /** By output: what stands at the terminal. */
  readonly terminals: ReadonlyMap<string, readonly Switch[]>;
  readonly hazards: readonly Span[];
  /** The controller's power was cut and has not come back. */
  readonly controllerOff: boolean;
  /** Everything but curves, oldest first. */
  readonly list: readonly CloudEvent[];
  /** Why the mitigation went into its present state. */
  readonly reason: string | null;
}

export const NO_HISTORY: History = {
  lastSequence: 0,
  latestAtMs: 0,
  beganAtMs: null,
  gas: new Map(),
  readings: new Map(),
  commands: new Map(),
  terminals: new Map(),
  hazards: [],
  controllerOff: false,
  list: [],
  reason: null,
};

/** The longest window the chart offers. */
export const KEPT_MS = 60 * 60_000;
/** What a person scrolls through; the whole record is a command away. */
export const LIST_MAX = 300;
/** Facts of two authors may be stored a little out of order; more than this at a start is a new run. */
const OUT_OF_ORDER_MS = 2000;

type Draft = {
  -readonly [Key in keyof History]: History[Key] extends ReadonlyMap<string, readonly (infer Item)[]>
    ? Map<string, Item[]>
    : History[Key] extends readonly (infer Item)[]
      ? Item[]
      : History[Key];
};

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
  foldFact(draft, fact);
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
      forgetSupervisor(draft, atMs);
      break;
    case 'power.cut':
    case 'power.restored':
      if (fact.fields.to !== 'controller') break;
      draft.controllerOff = fact.id === 'power.cut';
      forgetSupervisor(draft, atMs);
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
  draft.controllerOff = false;
  draft.reason = null;
  draft.beganAtMs = atMs;
  draft.latestAtMs = atMs;
}

/**
 * A supervisor that stops, loses its power or starts commands nothing and holds nothing true, whatever it
 * was before: what it read last is no reading any longer.
 */
function forgetSupervisor(draft: Draft, atMs: number): void {
  endHazards(draft, atMs, () => true);
  for (const switches of draft.commands.values()) {
    if (switches.at(-1)?.on === true) switches.push({ atMs, on: false });
  }
  for (const [sensor, points] of draft.readings) {
    if (points.at(-1)?.value !== null) put(draft.readings, sensor, { atMs, value: null });
  }
}

function endHazards(draft: Draft, toMs: number, which: (span: Span) => boolean): void {
  draft.hazards = draft.hazards.map((span) => (span.toMs === null && which(span) ? { ...span, toMs } : span));
}

/** Keeps time ascending even where two authors' facts were stored a little out of order. */
function put<Item extends { readonly atMs: number }>(
  series: Map<string, Item[]>,
  key: string,
  item: Item,
): void {
  const items = series.get(key);
  if (items === undefined) {
    series.set(key, [item]);
    return;
  }
  const lastMs = items.at(-1)?.atMs ?? item.atMs;
  items.push(lastMs > item.atMs ? { ...item, atMs: lastMs } : item);
}

function draftOf(history: History): Draft {
  return {
    ...history,
    gas: copied(history.gas),
    readings: copied(history.readings),
    commands: copied(history.commands),
    terminals: copied(history.terminals),
    hazards: [...history.hazards],
    list: [...history.list],
  };
}

function copied<Item>(series: ReadonlyMap<string, readonly Item[]>): Map<string, Item[]> {
  return new Map([...series].map(([key, items]) => [key, [...items]]));
}

/** Drops what no window shows; the last step before the window stays, for it holds at its left edge. */
function prune(draft: Draft): void {
  const fromMs = draft.latestAtMs - KEPT_MS;
  for (const series of [draft.gas, draft.readings, draft.commands, draft.terminals]) {
    for (const items of series.values()) items.splice(0, indexInForce(items, fromMs));
  }
  draft.hazards = draft.hazards.filter((span) => span.toMs === null || span.toMs >= fromMs);
  draft.list = draft.list.slice(-LIST_MAX);
  if (draft.beganAtMs !== null) draft.beganAtMs = Math.max(draft.beganAtMs, fromMs);
}

/** Index of the last item at or before a moment; 0 where there is none. */
export function indexInForce(items: readonly { readonly atMs: number }[], atMs: number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((items[middle]?.atMs ?? 0) <= atMs) low = middle + 1;
    else high = middle;
  }
  return Math.max(0, low - 1);
}
