/**
 * What a survey does on a bus, as a conversation without a bus: a procedure yields what it wants asked and is
 * handed what came of it. The live host asks a real line, a test a world in memory.
 */
import type { Request, Response } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import type { UnitId } from '../units/index.ts';

export interface Ask {
  readonly kind: 'ask';
  readonly unitId: UnitId;
  readonly request: Request;
  /** Listen on for a moment after the answer: a second one tells that two devices were asked. */
  readonly listensOn: boolean;
}

/** What is handed in for whatever was yielded. */
export interface Heard {
  readonly outcome: Outcome<Response>;
  /** When, on a clock that only goes on. */
  readonly nowMs: number;
}

export type Asking<Result> = Generator<Ask, Result, Heard>;

/** One question put as often as it takes to be sure. */
export type Steady =
  | { readonly kind: 'answered'; readonly response: Response }
  | { readonly kind: 'refused'; readonly exception: number }
  /** Nobody; behind a gateway it has said so itself (exception 0B). */
  | { readonly kind: 'silent' }
  /** A gateway knows no way to this unit (exception 0A). */
  | { readonly kind: 'noPath' }
  /** Something answered, again and again, and never what was asked. */
  | { readonly kind: 'garbled'; readonly field: string };

/** MB-APP section 7. */
const NO_PATH = 0x0a;
const TARGET_SILENT = 0x0b;

/** One lost answer is an accident of the wire; two in a row is nobody. */
const SILENCES_MAX = 2;
/** One broken answer is an accident; three, with nothing sound between them, is no accident. */
const MISMATCHES_MAX = 3;

export function* ask(unitId: UnitId, request: Request, listensOn = false): Asking<Outcome<Response>> {
  const heard = yield { kind: 'ask', unitId, request, listensOn };
  return heard.outcome;
}

export function* askSteadily(unitId: UnitId, request: Request, listensOn = false): Asking<Steady> {
  let silences = 0;
  let mismatches = 0;
  let field = '';
  while (silences < SILENCES_MAX && mismatches < MISMATCHES_MAX) {
    const outcome = yield* ask(unitId, request, listensOn);
    if (outcome.kind === 'answered') return { kind: 'answered', response: outcome.answer };
    if (outcome.kind === 'refused' && outcome.exception === NO_PATH) return { kind: 'noPath' };
    if (outcome.kind === 'refused' && outcome.exception !== TARGET_SILENT) return outcome;
    if (outcome.kind === 'mismatched') {
      mismatches += 1;
      field = outcome.field;
    } else silences += 1;
  }
  return mismatches === 0 ? { kind: 'silent' } : { kind: 'garbled', field };
}
