/**
 * One line that anything can be asked on, in our own frames: a survey asks with function 2B too, at which
 * modbus-serial's client ends the process.
 */
import { FramedLine, lineAt, refusalsMayPass, type Told, UNWATCHED } from '../line/index.ts';
import { decodeResponse, EXCEPTIONS, type Received, type Request, type Response } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import { addressText, type BusAddress } from '../rig/index.ts';
import type { UnitId } from '../units/index.ts';
import { hasSecondAnswer } from './second-answer.ts';

/** The line itself is gone; what was asked is not known to have been heard. */
export interface Lost {
  readonly kind: 'lost';
  readonly reason: string;
}

export interface Exchange {
  readonly address: string;
  /** `timeoutMs` in real time; `listensOn` for a second answer after the first. */
  ask(
    unitId: UnitId,
    request: Request,
    timeoutMs: number,
    listensOn?: boolean,
  ): Promise<Outcome<Response> | Lost>;
  close(): void;
}

const EXCEPTION_CODES: ReadonlySet<number> = new Set(Object.values(EXCEPTIONS).map(({ code }) => code));
/** The longest answer of a sensor and the silence before it, at 9600 bits a second. */
const LISTENS_ON_MS = 70;
/** A noise may pass, and an owed answer may come; a line that is never quiet tells nothing of anybody. */
const UNQUIET_MAX = 3;
const UNQUIET: Outcome<Response> = { kind: 'mismatched', field: 'quiet' };
const CHATTERS: Lost = {
  kind: 'lost',
  reason: 'it never falls quiet, as where another master asks or a device sends without being asked',
};

export function exchangeOn(address: BusAddress): Exchange {
  // A survey meets nobody at most addresses: that says nothing of the connection.
  const options = { ...lineAt(address), mayPass: refusalsMayPass, dropsUnheard: false };
  const line = new FramedLine(options, UNWATCHED);
  let unquiet = 0;
  return {
    address: addressText(address),
    async ask(unitId, request, timeoutMs, listensOn = false) {
      const told = await line.ask(unitId, request, timeoutMs, listensOn ? LISTENS_ON_MS : 0);
      unquiet = told.kind === 'unquiet' ? unquiet + 1 : 0;
      if (told.kind === 'unquiet') return unquiet < UNQUIET_MAX ? UNQUIET : CHATTERS;
      return told.kind === 'heard' ? judge(told, line) : told;
    },
    close() {
      line.close();
    },
  };
}

function judge(
  { asked, bytes, received }: Extract<Told, { kind: 'heard' }>,
  line: FramedLine,
): Outcome<Response> {
  const outcome = outcomeOf(received, asked.request, bytes.length);
  if (outcome.kind !== 'answered' || !hasSecondAnswer(bytes, asked)) return outcome;
  line.giveUp(asked);
  return { kind: 'mismatched', field: 'two answers to one request' };
}

function outcomeOf(received: Received, request: Request, heardBytes: number): Outcome<Response> {
  switch (received.kind) {
    case 'nothing':
      // Each connection has its own numbers: what came and names no request of ours is not a late answer.
      return heardBytes === 0 ? { kind: 'silent' } : { kind: 'mismatched', field: 'frame' };
    case 'mismatched':
      return { kind: 'mismatched', field: received.field };
    case 'refused':
      // What two talkers make of their exceptions has a code that no standard lists.
      return EXCEPTION_CODES.has(received.exception)
        ? { kind: 'refused', exception: received.exception }
        : { kind: 'mismatched', field: 'exceptionCode' };
    case 'answered': {
      const response = decodeResponse(received.pdu, request);
      if (response.kind === 'mismatched') return response;
      return response.kind === 'exception'
        ? { kind: 'refused', exception: response.code }
        : { kind: 'answered', answer: response };
    }
  }
}
