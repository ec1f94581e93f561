/**
 * What is on record of one sensor: its last self-test, its last alarm, and when it was last replaced.
 *
 * Nothing on record is never taken for good news, and what befell the part before is not told of the new one.
 */
import type { CloudEvent, EventFields, EventId } from '../../events/index.ts';
import { eventIdOf } from '../../events/index.ts';

/** All that a service record looks for. */
export const OF_SERVICE: readonly EventId[] = ['hazard.raised', 'hazard.cleared', 'sensor.replaced'];

export interface Told {
  /** Bench time. */
  readonly atMs: number;
  /** Wall time, RFC 3339. */
  readonly time: string;
}

/** `awaited`: a supervisor began, or the sensor did, and no pass is on record since. */
export type SelfTest = Told & { readonly result: 'passed' | 'failed' | 'awaited' };
export type Alarm = Told & { readonly text: string };
export type Replacement = Told & EventFields<'sensor.replaced'>;

/** null: no record. */
export interface Past {
  readonly selfTest: SelfTest | null;
  readonly alarm: Alarm | null;
  readonly replaced: Replacement | null;
}

/** `events` of one rig, in any order. */
export function pastOf(events: readonly CloudEvent[], sensor: string): Past {
  const own = events
    .filter(({ data: { fields } }) => fields['subject'] === sensor || fields['sensor'] === sensor)
    .sort((one, other) => Date.parse(one.time) - Date.parse(other.time) || one.sequence - other.sequence);
  const past: { -readonly [Key in keyof Past]: Past[Key] } = { selfTest: null, alarm: null, replaced: null };
  for (const event of own) {
    const { atMs, fields } = event.data;
    const told = { atMs, time: event.time };
    const id = eventIdOf(event);
    if (id === 'sensor.replaced') {
      const replaced = { ...told, ...(fields as EventFields<'sensor.replaced'>) };
      Object.assign(past, { selfTest: null, alarm: null, replaced });
      continue;
    }
    const { hazard } = fields as EventFields<'hazard.raised'>;
    const result = SELF_TESTS[`${String(id)} ${hazard}`];
    if (result !== undefined) past.selfTest = { ...told, result };
    if (id === 'hazard.raised' && ALARMS.has(hazard)) past.alarm = { ...told, text: event.data.text };
  }
  return past;
}

const SELF_TESTS: Readonly<Partial<Record<string, SelfTest['result']>>> = {
  'hazard.raised notSelfTested': 'awaited',
  'hazard.cleared notSelfTested': 'passed',
  'hazard.raised selfFailed': 'failed',
};

/** Of the table of hazards, those of a sensor that show as alarm. */
const ALARMS: ReadonlySet<string> = new Set(['gas', 'contradiction']);
