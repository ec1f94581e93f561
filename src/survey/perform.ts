/** Carries a procedure's questions to whoever can ask them, and hands in what comes of each. */

import type { Response } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import type { Ask, Asking } from './asking.ts';
import type { Exchange } from './exchange.ts';

/** Thrown into nothing: the line is gone, and with it every question. */
export class LineLost extends Error {}

export async function perform<Result>(
  procedure: Asking<Result>,
  exchange: Exchange,
  timeoutMs: number,
): Promise<Result> {
  let step = procedure.next();
  while (step.done !== true) {
    const outcome = await put(step.value, exchange, timeoutMs);
    step = procedure.next({ outcome, nowMs: performance.now() });
  }
  return step.value;
}

/** Throws LineLost, since no procedure can go on without its line. */
export async function put(
  { unitId, request, listensOn }: Ask,
  exchange: Exchange,
  timeoutMs: number,
): Promise<Outcome<Response>> {
  const outcome = await exchange.ask(unitId, request, timeoutMs, listensOn);
  if (outcome.kind === 'lost') throw new LineLost(outcome.reason);
  return outcome;
}
