/** What an assignment tells as it goes: one row a kind, with its sentence and what of it goes on record. */
import type { EventFields, EventId } from '../events/index.ts';
import type { ModbusSensor } from '../rig/index.ts';
import { formatDuration } from '../units/index.ts';

export type Note =
  | { readonly kind: 'alreadyThere'; readonly serial: string }
  | { readonly kind: 'powerOne'; readonly waitMs: number }
  | { readonly kind: 'setByHand'; readonly by: 'switch' | 'part'; readonly waitMs: number }
  | { readonly kind: 'found'; readonly who: string }
  /** Nothing tells which sensor it is. */
  | { readonly kind: 'unchecked' }
  | { readonly kind: 'wouldWrite'; readonly writes: readonly string[] }
  | { readonly kind: 'began'; readonly serial: string; readonly writes: readonly string[] }
  | { readonly kind: 'written' }
  | { readonly kind: 'restarts' }
  | { readonly kind: 'cyclePower'; readonly noRestart: boolean; readonly waitMs: number }
  | { readonly kind: 'oldIsSilent' }
  /** Where the old address was, another sensor answers by now. */
  | { readonly kind: 'oldIsAnother'; readonly who: string }
  | { readonly kind: 'assigned'; readonly serial: string; readonly label: string }
  | { readonly kind: 'proved'; readonly serial: string; readonly label: string }
  | {
      readonly kind: 'stopped';
      readonly reason: string;
      readonly advice: string;
      /** It is not the sensor that stands in the way, but what lies between it and us. */
      readonly surroundings: boolean;
    };

type NoteKind = Note['kind'];
type NoteOf<Kind extends NoteKind> = Extract<Note, { readonly kind: Kind }>;

const serialText = (serial: string): string => (serial === '' ? '' : `, serial ${serial}`);

const SENTENCES: {
  readonly [Kind in NoteKind]: (note: NoteOf<Kind>, sensor: ModbusSensor, factory: number) => string;
} = {
  alreadyThere: ({ serial }, { id, unitId }) =>
    `${id} answers at its planned address ${unitId} already${serialText(serial)}: nothing to do`,
  powerOne: ({ waitMs }, { id }, factory) =>
    `nobody answers at the factory address ${factory}: give power to ${id}, and to no other new one; ` +
    `waiting up to ${formatDuration(waitMs)}`,
  setByHand: ({ by, waitMs }, { id, unitId }) =>
    (by === 'switch'
      ? `set the address switch of ${id} to ${unitId} while it has no power, then give it power`
      : `the address of ${id} is fixed by its part: fit the part with address ${unitId}, and give it power`) +
    `; waiting up to ${formatDuration(waitMs)}`,
  found: ({ who }, _, factory) => `at the factory address ${factory} answers ${who}`,
  unchecked: (_, { id }) => `no serial could be checked: see by its label that this is ${id}`,
  wouldWrite: ({ writes }) => `would write ${writes.join(', then ')}; add --write to do it`,
  began: ({ writes }) => `writes ${writes.join(', then ')}`,
  written: (_, { id, unitId }) => `${id} has taken the address: it reads back ${unitId}`,
  restarts: (_, { id }) => `restarts ${id} by command`,
  cyclePower: ({ noRestart, waitMs }, { id, unitId }) =>
    (noRestart ? 'its profile has no command to restart it: ' : '') +
    `take the power of ${id} away and give it back; waiting up to ${formatDuration(waitMs)} for it at ${unitId}`,
  oldIsSilent: (_, __, factory) => `nobody answers at ${factory} any more`,
  oldIsAnother: ({ who }, { id }, factory) =>
    `${id} has left address ${factory}; there answers by now ${who}`,
  assigned: ({ serial }, { id, unitId }) =>
    `${id} answers at its planned address ${unitId}${serialText(serial)}`,
  proved: ({ serial }, { id, unitId }) =>
    `${id} answers at its planned address ${unitId}${serialText(serial)}`,
  stopped: ({ reason, advice }) => `stopped: ${reason}; ${advice}`,
};

export function noteText<Kind extends NoteKind>(note: NoteOf<Kind>, sensor: ModbusSensor): string {
  const says = SENTENCES[note.kind];
  return says(note, sensor, sensor.codec.profile.factoryAddress);
}

/** What a person writes on the sensor. */
export function labelOf({ id, unitId, at, line, serial }: ModbusSensor, seenSerial: string): string {
  const number = seenSerial === '' ? (serial ?? '') : seenSerial;
  return [`unit ${unitId}`, id, at, `line ${line}`, ...(number === '' ? [] : [`serial ${number}`])].join(
    ' | ',
  );
}

/** A fact of the record, its moment left out. */
export type ServiceFact = {
  readonly [Id in Extract<EventId, `assignment.${string}`>]: {
    readonly id: Id;
    readonly fields: EventFields<Id>;
  };
}[Extract<EventId, `assignment.${string}`>];

/** What of a note goes on record; null for what only leads a person. */
export function factOf(note: Note, { id: sensor, line, unitId, codec }: ModbusSensor): ServiceFact | null {
  const from = codec.profile.factoryAddress;
  const serial = 'serial' in note && note.serial !== '' ? note.serial : 'not told';
  switch (note.kind) {
    case 'began':
      return { id: 'assignment.started', fields: { sensor, line, from, to: unitId, serial } };
    case 'written':
      return { id: 'assignment.accepted', fields: { sensor, line, from, to: unitId } };
    case 'assigned':
      return { id: 'assignment.proved', fields: { sensor, line, from, to: unitId, serial } };
    case 'proved':
    case 'alreadyThere':
      return { id: 'assignment.checked', fields: { sensor, line, unitId, serial } };
    case 'wouldWrite':
      return { id: 'assignment.rehearsed', fields: { sensor, line, from, to: unitId } };
    case 'stopped':
      return { id: 'assignment.stopped', fields: { sensor, line, unitId, reason: note.reason } };
    case 'powerOne':
    case 'setByHand':
    case 'found':
    case 'unchecked':
    case 'restarts':
    case 'cyclePower':
    case 'oldIsSilent':
    case 'oldIsAnother':
      return null;
  }
}
