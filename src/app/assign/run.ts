/** Leads a person through the assignment of sensors, one after the other; the first that stops ends it. */
import { setTimeout as sleep } from 'node:timers/promises';
import { assign, type Ending, factOf, type Move, type Note, noteText } from '../../assign/index.ts';
import type { Fact } from '../../events/index.ts';
import type { ModbusSensor, Rig } from '../../rig/index.ts';
import { type Exchange, exchangeOn, knownCodecs, LineLost, modbusSensors, put } from '../../survey/index.ts';
import { shippedCodecs } from '../service/known-profiles.ts';
import { lineGone, type ServiceLine } from '../service/lines.ts';

export interface AssignPlan {
  readonly rig: Rig;
  readonly sensors: readonly ModbusSensor[];
  readonly lines: readonly ServiceLine[];
  readonly write: boolean;
  readonly restart: boolean;
  readonly waitMs: number;
  /** For the person. */
  readonly say: (text: string) => void;
  /** Returns once it is on disk. */
  readonly store: (fact: Fact) => void;
}

export interface AssignOutcome {
  readonly sensor: ModbusSensor;
  readonly ending: Ending;
  readonly told: readonly string[];
}

/** Throws Stop where the line is gone. */
export async function runAssign(plan: AssignPlan): Promise<readonly AssignOutcome[]> {
  const exchanges = new Map(
    plan.lines.map((line) => [line.line, { line, exchange: exchangeOn(line.address) }]),
  );
  const outcomes: AssignOutcome[] = [];
  try {
    for (const sensor of plan.sensors) {
      const on = exchanges.get(sensor.line);
      if (on === undefined) throw new Error(`line ${sensor.line} was not opened`);
      const outcome = await assignOne(plan, sensor, on.line, on.exchange);
      outcomes.push(outcome);
      if (outcome.ending.kind === 'stopped') break;
    }
    return outcomes;
  } finally {
    for (const { exchange } of exchanges.values()) exchange.close();
  }
}

async function assignOne(
  plan: AssignPlan,
  sensor: ModbusSensor,
  { address, timeoutMs }: ServiceLine,
  exchange: Exchange,
): Promise<AssignOutcome> {
  const { rig, write, restart, waitMs } = plan;
  const notes: Note[] = [];
  const known = knownCodecs(rig, shippedCodecs());
  const procedure = assign({ sensor, planned: modbusSensors(rig), known, write, restart, waitMs });
  const tell = (note: Note): void => {
    notes.push(note);
    const fact = factOf(note, sensor);
    // First what is on record, then what is said, and only then what is written to the line.
    if (fact !== null) {
      plan.store({ ...fact, atMs: Math.round(performance.now()) });
    }
    plan.say(`  ${noteText(note, sensor)}`);
    if ('label' in note) plan.say(`  label: ${note.label}`);
  };
  plan.say(`${sensor.id}, to unit ${sensor.unitId} of line ${sensor.line}`);
  try {
    let step = procedure.next();
    while (step.done !== true) {
      const outcome = await done(step.value, exchange, timeoutMs, tell);
      step = procedure.next({ outcome, nowMs: performance.now() });
    }
    return { sensor, ending: step.value, told: notes.map((note) => noteText(note, sensor)) };
  } catch (error) {
    if (!(error instanceof LineLost)) throw error;
    const reason = `the bus was lost: ${error.message}`;
    const fields = { sensor: sensor.id, line: sensor.line, unitId: sensor.unitId, reason };
    plan.store({ id: 'assignment.stopped', atMs: Math.round(performance.now()), fields });
    const written = notes.some(({ kind }) => kind === 'began')
      ? `${sensor.id} may have its new address already: survey the line.`
      : 'Nothing was written.';
    throw lineGone(address, error.message, written);
  }
}

/** Notes and pauses have no outcome; the procedure does not look at what it is handed for them. */
async function done(move: Move, exchange: Exchange, timeoutMs: number, tell: (note: Note) => void) {
  switch (move.kind) {
    case 'ask':
      return put(move, exchange, timeoutMs);
    case 'pause':
      await sleep(move.ms);
      return NOTHING_ASKED;
    case 'note':
      tell(move.note);
      return NOTHING_ASKED;
  }
}

const NOTHING_ASKED = { kind: 'silent' } as const;
