/**
 * Facts in their outside form: CloudEvents 1.0 with the `sequence` extension.
 * Source: CloudEvents 1.0.2 sections "Required Attributes" and "sequence" extension.
 */
import { CATALOGUE, type EventId, type Fact, type Severity, textOf } from './catalogue.ts';

const TYPE_PREFIX = 'leakbench.';

export interface CloudEvent {
  readonly specversion: '1.0';
  /** Unique together with `source`, in every record: `RECORD-SEQUENCE`. */
  readonly id: string;
  /** Which part of which bench stated it: `/rigs/NAME/bench` or `/rigs/NAME/supervisor`. */
  readonly source: string;
  readonly type: string;
  /** RFC 3339, wall clock when it was handed to the record. */
  readonly time: string;
  /** Place in the record, counted from 1 without a gap. */
  readonly sequence: number;
  readonly datacontenttype: 'application/json';
  readonly data: {
    readonly atMs: number;
    readonly severity: Severity;
    readonly text: string;
    readonly fields: Readonly<Record<string, unknown>>;
  };
}

/**
 * `recordId` tells one record from another, since each counts from 1 and producers must make source and id
 * unique together (CloudEvents 1.0.2, `id`); without it the id is unique in one record alone.
 */
export function toCloudEvent(
  fact: Fact,
  sequence: number,
  wallClockMs: number,
  rigName: string,
  recordId?: string,
): CloudEvent {
  const row = CATALOGUE[fact.id];
  return {
    specversion: '1.0',
    id: recordId === undefined ? String(sequence) : `${recordId}-${sequence}`,
    source: sourcesOf(rigName) + row.source,
    type: typeOf(fact.id),
    time: new Date(wallClockMs).toISOString(),
    sequence,
    datacontenttype: 'application/json',
    data: { atMs: fact.atMs, severity: row.severity, text: textOf(fact), fields: fact.fields },
  };
}

/** How the source of every event of a rig begins. */
export function sourcesOf(rigName: string): string {
  return `/rigs/${encodeURIComponent(rigName)}/`;
}

/** The rig that a source is of; the source itself where it is none of ours. */
export function rigNameOf(source: string): string {
  return decodeURIComponent(source.split('/')[2] ?? source);
}

/** The CloudEvents `type` of a catalogue id. */
export function typeOf(id: EventId): string {
  return TYPE_PREFIX + id;
}

/** The catalogue's id of a stored event, or undefined for one that this version does not know. */
export function eventIdOf(event: CloudEvent): EventId | undefined {
  if (!event.type.startsWith(TYPE_PREFIX)) return undefined;
  const id = event.type.slice(TYPE_PREFIX.length);
  return Object.hasOwn(CATALOGUE, id) ? (id as EventId) : undefined;
}
