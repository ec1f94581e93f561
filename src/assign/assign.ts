/**
 * One sensor gets its planned address, in the field's order of work.
 *
 * Theory. Sensors come with one factory address, so that two new ones on a line talk at once: only one may be
 * powered at it. In order: nobody else is at the planned address; the one at the factory address is the right
 * one; key and address are written and read back; after a new start it answers at the new address, with the
 * same serial, and no longer at the old one. Whatever is not as it must be ends the work with a sentence, and
 * nothing more is written. Without `write` nothing is written at all.
 */
import type { ModbusSensor } from '../rig/index.ts';
import type { SensorCodec } from '../sensor/index.ts';
import { type Ask, type Found, findSensor, type Heard, whoText } from '../survey/index.ts';
import { formatDuration, type UnitId, unitId } from '../units/index.ts';
import { labelOf, type Note } from './note.ts';
import { type Recognised, recognise } from './recognise.ts';
import { restart, writeAddress, writesOf } from './write-address.ts';

export interface AssignJob {
  readonly sensor: ModbusSensor;
  /** All that the rig plans, to know a stranger by its serial. */
  readonly planned: readonly ModbusSensor[];
  readonly known: readonly SensorCodec[];
  readonly write: boolean;
  /** Restart by command where the profile has one. */
  readonly restart: boolean;
  /** How long a person may take for one deed. */
  readonly waitMs: number;
}

/** What the host does: asks, waits for so long, tells. */
export type Move =
  | Ask
  | { readonly kind: 'pause'; readonly ms: number }
  | { readonly kind: 'note'; readonly note: Note };

export type Assigning<Result> = Generator<Move, Result, Heard>;

export type Ending = Extract<
  Note,
  { readonly kind: 'alreadyThere' | 'assigned' | 'proved' | 'wouldWrite' | 'stopped' }
>;

/** Between two looks for somebody who is waited for: quick enough for a person, slow enough for a line. */
const LOOK_EVERY_MS = 500;

/** Tells everything on the way, its ending too. */
export function* assign(job: AssignJob): Assigning<Ending> {
  const ending = yield* work(job);
  yield* tell(ending);
  return ending;
}

function* work(job: AssignJob): Assigning<Ending> {
  const { sensor } = job;
  const there = yield* lookAt(job, sensor.unitId);
  if (there.kind !== 'silent') return yield* atPlanned(job, there);
  const { addressSetBy, factoryAddress } = sensor.codec.profile;
  if (addressSetBy !== 'register') {
    yield* tell({ kind: 'setByHand', by: addressSetBy, waitMs: job.waitMs });
    return yield* proveByHand(job);
  }
  if (factoryAddress === sensor.unitId) {
    yield* tell({ kind: 'powerOne', waitMs: job.waitMs });
    return yield* proveByHand(job);
  }
  return yield* fromFactory(job, unitId(factoryAddress));
}

/** Somebody is where the sensor shall be: itself, or nobody may go there. */
function* atPlanned(job: AssignJob, there: Exclude<Found, { kind: 'silent' }>): Assigning<Ending> {
  const { unitId: unit } = job.sensor;
  const recognised = recogniseAt(job, there, unit);
  if (recognised.kind === 'stopped') return recognised;
  if (!recognised.checked) yield* tell({ kind: 'unchecked' });
  return { kind: 'alreadyThere', serial: recognised.serial };
}

/** Its address is where it has to be as soon as it has power. */
function* proveByHand(job: AssignJob): Assigning<Ending> {
  const { sensor } = job;
  const there = yield* waitFor(job, sensor.unitId);
  if (there.kind === 'silent') return nobodyCame(job, sensor.unitId);
  const recognised = recogniseAt(job, there, sensor.unitId);
  if (recognised.kind === 'stopped') return recognised;
  if (!recognised.checked) yield* tell({ kind: 'unchecked' });
  const factory = unitId(sensor.codec.profile.factoryAddress);
  if (factory !== sensor.unitId && recognised.serial !== '') {
    const old = yield* lookAt(job, factory);
    if (old.kind === 'present' && old.serial === recognised.serial) {
      return stopped(
        `the same serial answers at ${sensor.unitId} and at ${factory}`,
        'find out which is which',
      );
    }
  }
  return { kind: 'proved', serial: recognised.serial, label: labelOf(sensor, recognised.serial) };
}

function* fromFactory(job: AssignJob, factory: UnitId): Assigning<Ending> {
  const { sensor, write } = job;
  let found = yield* lookAt(job, factory);
  if (found.kind === 'silent') {
    yield* tell({ kind: 'powerOne', waitMs: job.waitMs });
    found = yield* waitFor(job, factory);
    if (found.kind === 'silent') return nobodyCame(job, factory);
  }
  const recognised = recogniseAt(job, found, factory);
  if (recognised.kind === 'stopped') return recognised;
  yield* tell({ kind: 'found', who: whoText(recognised.present) });
  if (!recognised.checked) yield* tell({ kind: 'unchecked' });
  const writes = writesOf(sensor);
  if (!write) return { kind: 'wouldWrite', writes };
  yield* tell({ kind: 'began', serial: recognised.serial, writes });
  const refusal = yield* writeAddress(factory, sensor);
  if (refusal !== null) return stopped(refusal, 'nothing is changed until its next start; try again');
  yield* tell({ kind: 'written' });
  yield* startAnew(job, factory);
  return yield* proveMoved(job, factory, recognised.serial);
}

/** The new address is taken up at the next start alone. */
function* startAnew(job: AssignJob, factory: UnitId): Assigning<void> {
  const { sensor, waitMs } = job;
  const hasRestart = sensor.codec.profile.commands?.command?.values.restart !== undefined;
  if (job.restart && hasRestart) {
    yield* tell({ kind: 'restarts' });
    yield* restart(factory, sensor);
  } else yield* tell({ kind: 'cyclePower', noRestart: job.restart, waitMs });
}

function* proveMoved(job: AssignJob, factory: UnitId, serial: string): Assigning<Ending> {
  const { sensor } = job;
  const there = yield* waitFor(job, sensor.unitId);
  if (there.kind === 'silent') {
    const reason = `nobody answered at ${sensor.unitId} within ${formatDuration(job.waitMs)}`;
    return stopped(reason, `take the power of ${sensor.id} away and give it back, then run this again`);
  }
  const recognised = recogniseAt(job, there, sensor.unitId);
  if (recognised.kind === 'stopped') return recognised;
  if (recognised.serial !== serial) {
    const reason = `at ${sensor.unitId} answers serial ${recognised.serial}, not the ${serial} that was written to`;
    return stopped(reason, 'find out who it is: survey the line');
  }
  const old = yield* lookAt(job, factory);
  const problem = yield* leftBehind(old, factory, serial);
  return problem ?? { kind: 'assigned', serial, label: labelOf(sensor, serial) };
}

/** Null where the old address is free of this sensor; only its silence, or another's serial, proves that. */
function* leftBehind(old: Found, factory: UnitId, serial: string): Assigning<Ending | null> {
  if (old.kind === 'silent' || old.kind === 'noPath') {
    yield* tell({ kind: 'oldIsSilent' });
    return null;
  }
  if (old.kind === 'present' && serial !== '' && old.serial !== '' && old.serial !== serial) {
    yield* tell({ kind: 'oldIsAnother', who: whoText(old) });
    return null;
  }
  const reason = `somebody still answers at the factory address ${factory}`;
  return stopped(reason, 'leave only this sensor powered, and run this again to prove it');
}

type Known = Extract<Recognised, { readonly kind: 'right' }>;

function recogniseAt(job: AssignJob, found: Exclude<Found, { kind: 'silent' }>, at: UnitId): Known | Stopped {
  const recognised = recognise(job, found, at);
  return recognised.kind === 'wrong' ? { ...recognised, kind: 'stopped' } : recognised;
}

type Stopped = Extract<Note, { readonly kind: 'stopped' }>;

function stopped(reason: string, advice: string): Stopped {
  return { kind: 'stopped', reason, advice, surroundings: false };
}

function nobodyCame({ sensor, waitMs }: AssignJob, at: UnitId): Stopped {
  return stopped(
    `nobody answered at ${at} within ${formatDuration(waitMs)}`,
    `see that ${sensor.id} has power and hangs on line ${sensor.line}; a gateway hears two at once as nobody`,
  );
}

function lookAt({ sensor, known }: AssignJob, at: UnitId) {
  return findSensor(at, sensor.codec, known);
}

/** Looks again and again until somebody is there, or the time is over. */
function* waitFor(job: AssignJob, at: UnitId): Assigning<Found> {
  const { nowMs: beganMs } = yield { kind: 'pause', ms: 0 };
  for (;;) {
    const found = yield* lookAt(job, at);
    if (found.kind !== 'silent') return found;
    const { nowMs } = yield { kind: 'pause', ms: LOOK_EVERY_MS };
    if (nowMs - beganMs >= job.waitMs) return found;
  }
}

function* tell(note: Note): Assigning<void> {
  yield { kind: 'note', note };
}
