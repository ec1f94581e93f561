/**
 * Every event there is: one row an event, with id, severity, text and fields.
 *
 * Events are facts in the past tense. The row serves validation, the record, the stream's description and
 * what a person reads; {field} in a text is filled from the event's fields. Severities: `trace` draws
 * curves, `info` is ordinary, `notice` is a person's doing or a change of state, `warning` wants
 * attention, `alarm` is gas or fire.
 */
import { z } from 'zod';

export const SEVERITIES = ['trace', 'info', 'notice', 'warning', 'alarm'] as const;
export type Severity = (typeof SEVERITIES)[number];

const id = z.string();
const on = z.boolean();
const because = z.array(z.string());
const percentLfl = z.number().nonnegative().meta({ 'x-unit': '%LFL' });
/** Of a real sensor, whose zero may have drifted. */
const readingPercentLfl = z.number().meta({ 'x-unit': '%LFL' });
const ms = z.number().meta({ 'x-unit': 'ms' });
const gPerS = z.number().meta({ 'x-unit': 'g/s' });
const mib = z.number().meta({ 'x-unit': 'MiB' });
const unit = z.int().min(1).max(247);

/** What a fault was given; its row of the fault table says what that is. */
export const faultParameters = z
  .record(z.string(), z.unknown())
  .meta({ description: 'what it was given: see faultKinds of GET /api/v1/rig', additionalProperties: true });

/** Who states the fact: the simulated world, the supervisor, or a person's work on a line. */
export type Source = 'bench' | 'supervisor' | 'service';

export const CATALOGUE = {
  'bench.started': row('bench', 'notice', 'The bench started with rig {rig}', { rig: z.string() }),
  'bench.stopped': row('bench', 'notice', 'The bench stopped', {}),
  'clock.changed': row('bench', 'notice', 'Speed is {speed}, paused: {paused}', {
    speed: z.number(),
    paused: on,
  }),
  /** Bench time goes on; whatever stood before is of another run. */
  'bench.reset': row('bench', 'notice', 'The bench was started afresh: {reason}', { reason: z.string() }),
  'computer.stalled': row(
    'bench',
    'warning',
    'This computer was held up for {realMs} ms, {benchMs} ms of bench time: what was late then may be its doing; ' +
      'close what else runs on it, or choose a lower speed',
    { realMs: ms, benchMs: ms },
  ),
  'drill.started': row('bench', 'notice', 'The drill "{name}" began', {
    name: z.string(),
    lengthMs: ms,
  }),
  'drill.step': row('bench', 'notice', 'The drill: {text}', { text: z.string() }),
  'drill.ended': row('bench', 'notice', 'The drill ended: {state}, verdict: {verdict}', {
    state: z.enum(['judged', 'stopped']),
    verdict: z.enum(['held', 'broken']).nullable(),
  }),
  'gas.changed': row('bench', 'trace', 'True gas at {at} is {percentLfl} %LFL', { at: id, percentLfl }),
  'release.started': row('bench', 'notice', 'A release of {gPerS} g/s began at {at}', {
    at: id,
    gPerS,
  }),
  'release.ended': row('bench', 'notice', 'The release at {at} ended', { at: id }),
  'testGas.started': row('bench', 'notice', 'Test gas of {percentLfl} %LFL is held at {at}', {
    at: id,
    percentLfl,
  }),
  'testGas.ended': row('bench', 'notice', 'The test gas at {at} was taken away', { at: id }),
  'fault.injected': row('bench', 'notice', 'Fault {kind} was put into {in}', {
    in: id,
    kind: z.string(),
    parameters: faultParameters,
  }),
  'fault.mended': row('bench', 'notice', 'Fault {kind} was taken out of {in}', { in: id, kind: z.string() }),
  'power.cut': row('bench', 'notice', 'Power was cut to {to}', { to: id }),
  'power.restored': row('bench', 'notice', 'Power came back to {to}', { to: id }),
  'call.changed': row('bench', 'notice', 'The call for {call} is {on}', { call: id, on }),
  'serviceReset.pressed': row('bench', 'notice', 'A person pressed service reset', {}),
  'fire.changed': row('bench', 'alarm', 'The fire signal is {on}', { on }),
  'output.changed': row('bench', 'info', 'The terminal {output} is {on}', { output: id, on }),
  'airflow.changed': row('bench', 'info', 'Airflow proven: {proven}', { proven: on }),
  'watchdog.expired': row(
    'bench',
    'warning',
    'The field I/O had no complete write for {afterMs} ms: {effect}',
    {
      afterMs: ms,
      effect: z.string(),
    },
  ),
  'wire.opened': row('bench', 'info', 'Line {line} listens on {address}', { line: id, address: z.string() }),

  'record.shortened': row(
    'bench',
    'notice',
    'The oldest events, up to sequence {through}, were taken out of the record: it may hold {limitMiB} MiB',
    { through: z.number(), limitMiB: mib },
  ),

  'facts.lost': row('bench', 'warning', 'The record took nothing for a time: {count} events are not in it', {
    count: z.int().positive(),
  }),

  // Before a lesson is revealed, nothing here may tell more of it than its title.
  'class.opened': row('bench', 'notice', 'A class was opened', {}),
  'class.joined': row('bench', 'notice', '{name} joined the class', { seat: id, name: z.string() }),
  'lesson.started': row('bench', 'notice', 'The lesson “{title}” began', { title: z.string() }),
  'class.flipped': row('bench', 'notice', '{name} switched the supply of {sensor} {on}', {
    seat: id,
    name: z.string(),
    sensor: id,
    on,
  }),
  'lesson.revealed': row('bench', 'notice', 'The lesson “{title}” was revealed', {
    title: z.string(),
    causes: z.array(z.string()),
    where: z.array(z.string()),
  }),
  'class.closed': row('bench', 'notice', 'The class was closed', {}),

  'supervisor.started': row('supervisor', 'notice', 'The supervisor began as {state}: {reason}', {
    state: z.string(),
    reason: z.string(),
  }),
  'supervisor.stopped': row('supervisor', 'notice', 'The supervisor stopped while {state}', {
    state: z.string(),
    unmitigated: on,
  }),
  'supervisor.failed': row('supervisor', 'alarm', 'The supervisor ended on an error of its own: {error}', {
    error: z.string(),
    /** The field I/O took the last write: compressors and heat off, the fan on unless there is fire. */
    leftSafe: on,
  }),
  'line.connected': row('supervisor', 'info', 'Line {line} is connected to {address}', {
    line: id,
    address: z.string(),
  }),
  'line.lost': row('supervisor', 'warning', 'Line {line} at {address} was lost: {reason}', {
    line: id,
    address: z.string(),
    reason: z.string(),
  }),
  'reading.changed': row('supervisor', 'trace', '{sensor} reports {state}, {percentLfl} %LFL', {
    sensor: id,
    state: z.string(),
    percentLfl: readingPercentLfl.nullable(),
  }),
  'hazard.raised': row('supervisor', 'warning', '{text}', {
    hazard: z.string(),
    subject: id,
    text: z.string(),
  }),
  'hazard.cleared': row('supervisor', 'info', 'Over at {subject}: {title}', {
    hazard: z.string(),
    subject: id,
    title: z.string(),
  }),
  'mitigation.changed': row('supervisor', 'notice', 'Mitigation went from {from} to {to}: {reason}', {
    from: z.string(),
    to: z.string(),
    reason: z.string(),
  }),
  'trip.counted': row('supervisor', 'warning', 'Gas trip {count} within {withinMs} ms', {
    count: z.number(),
    withinMs: ms,
  }),
  'command.changed': row('supervisor', 'info', 'The supervisor turned {output} {on}', {
    output: id,
    on,
    because,
  }),

  'assignment.started': row(
    'service',
    'notice',
    'Line {line}: {sensor}, serial {serial}, is being moved from address {from} to {to}',
    { sensor: id, line: id, from: unit, to: unit, serial: z.string() },
  ),
  'assignment.accepted': row(
    'service',
    'notice',
    'Line {line}: {sensor} at address {from} has taken {to} for its next start',
    { sensor: id, line: id, from: unit, to: unit },
  ),
  'assignment.proved': row(
    'service',
    'notice',
    'Line {line}: {sensor}, serial {serial}, answers at {to}, and no longer at {from}',
    { sensor: id, line: id, from: unit, to: unit, serial: z.string() },
  ),
  'assignment.checked': row(
    'service',
    'info',
    'Line {line}: {sensor}, serial {serial}, answers at its planned address {unitId}',
    { sensor: id, line: id, unitId: unit, serial: z.string() },
  ),
  'assignment.rehearsed': row(
    'service',
    'info',
    'Line {line}: {sensor} could be moved from address {from} to {to}; nothing was written',
    { sensor: id, line: id, from: unit, to: unit },
  ),
  'assignment.stopped': row(
    'service',
    'warning',
    'Line {line}: {sensor} was not brought to address {unitId}: {reason}',
    { sensor: id, line: id, unitId: unit, reason: z.string() },
  ),
  'sensor.replaced': row(
    'service',
    'notice',
    '{sensor} was replaced: serial {serial} in place of {oldSerial}, installed {installed}, told by {by}, ' +
      'known by {knownBy}',
    {
      sensor: id,
      serial: z.string(),
      /** null where the plan named none. */
      oldSerial: z.string().nullable(),
      installed: z.iso.date(),
      /** Day of manufacture, where somebody read it off the part. */
      made: z.iso.date().nullable(),
      by: z.string(),
      /** A survey heard the serial on the line, or a person read it on the label. */
      knownBy: z.enum(['survey', 'label']),
    },
  ),
} as const satisfies Record<string, Row>;

export type EventId = keyof typeof CATALOGUE;
export type EventFields<Id extends EventId> = z.infer<(typeof CATALOGUE)[Id]['fields']>;

/** A fact as a core states it, before the record gives it a sequence; atMs is bench time. */
export type Fact = {
  readonly [Id in EventId]: { readonly id: Id; readonly atMs: number; readonly fields: EventFields<Id> };
}[EventId];

interface Row<Fields extends z.ZodObject = z.ZodObject> {
  readonly source: Source;
  readonly severity: Severity;
  readonly text: string;
  readonly fields: Fields;
}

function row<Shape extends z.ZodRawShape>(
  source: Source,
  severity: Severity,
  text: string,
  shape: Shape,
): Row<z.ZodObject<Shape>> {
  return { source, severity, text, fields: z.object(shape) };
}

/** The row's text with its fields filled in; true and false read "on" and "off". */
export function textOf(fact: Fact): string {
  const fields = fact.fields as Readonly<Record<string, unknown>>;
  return CATALOGUE[fact.id].text.replace(/\{(\w+)\}/gu, (_, name: string) => wordFor(fields[name]));
}

function wordFor(value: unknown): string {
  if (typeof value === 'boolean') return value ? 'on' : 'off';
  if (typeof value === 'number') return String(Math.round(value * 10) / 10);
  return typeof value === 'string' ? value : 'none';
}
