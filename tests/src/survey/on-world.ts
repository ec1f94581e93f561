/** A procedure carried out on a world in memory: each question asked as the live client asks it. */

import { applyStep, World } from '../../../sim/world/index.ts';
import {
  decodeResponse,
  encodeRequest,
  type Framing,
  type Request,
  type Response,
  receive,
} from '../../../src/modbus/index.ts';
import type { Outcome } from '../../../src/poll/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import type { Ask } from '../../../src/survey/index.ts';
import { ms } from '../../../src/units/index.ts';
import { stepFor } from '../../helpers/demo.ts';

const TIMEOUT_MS = 300;
/** As long as the self-tests take, so that everybody measures. */
const WARM_MS = 10_000;
const FRAMINGS = {
  mbap: { kind: 'mbap', transactionId: 7 },
  rtu: { kind: 'rtu', silenceMs: 2 },
} as const satisfies Readonly<Record<Framing['kind'], Framing>>;

export class Bench {
  readonly world: World;
  readonly rig: Rig;
  nowMs = WARM_MS;
  /** Every request that was not a read. */
  readonly writes: Request[] = [];
  readonly #framing: Framing['kind'];

  constructor(rig: Rig, framing: Framing['kind'] = 'mbap') {
    this.rig = rig;
    this.#framing = framing;
    this.world = new World(rig, {
      seed: 1,
      startMs: ms(0),
      serviceDaysLeft: () => 3000,
      observe: () => undefined,
    });
  }

  step(written: unknown): void {
    const problem = applyStep(this.world, stepFor(this.rig, written), ms(this.nowMs));
    if (problem !== null) throw new Error(problem);
  }

  ask(line: string, { unitId, request }: Ask): Outcome<Response> {
    if (request.kind !== 'read' && request.kind !== 'identify') this.writes.push(request);
    const framing = FRAMINGS[this.#framing];
    const answer = this.world.serve(line, unitId, encodeRequest(request), ms(this.nowMs), this.#framing);
    this.nowMs += 20;
    if (answer === undefined) {
      this.nowMs += TIMEOUT_MS;
      return { kind: 'silent' };
    }
    if (answer instanceof Uint8Array) return outcomeOf(answer, request);
    const received = receive(answer.emission(framing), { framing, unitId, request, timeoutMs: TIMEOUT_MS });
    switch (received.kind) {
      case 'nothing':
        return { kind: 'silent' };
      case 'answered':
        return outcomeOf(received.pdu, request);
      case 'refused':
        return { kind: 'refused', exception: received.exception };
      case 'mismatched':
        return { kind: 'mismatched', field: received.field };
    }
  }

  perform<Result>(
    line: string,
    procedure: Generator<Ask, Result, { outcome: Outcome<Response>; nowMs: number }>,
  ): Result {
    for (let step = procedure.next(); ; ) {
      if (step.done === true) return step.value;
      const outcome = this.ask(line, step.value);
      step = procedure.next({ outcome, nowMs: this.nowMs });
    }
  }
}

function outcomeOf(pdu: Uint8Array, request: Request): Outcome<Response> {
  const response = decodeResponse(pdu, request);
  if (response.kind === 'mismatched') return response;
  if (response.kind === 'exception') return { kind: 'refused', exception: response.code };
  return { kind: 'answered', answer: response };
}
