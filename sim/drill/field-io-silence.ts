/**
 * When the field I/O could not be heard: from the first request that got no answer of its own until one did,
 * where that took `silentAfter`. Its inputs and its commands count each for themselves: whoever hears of the
 * one alone has not heard the field I/O. Nobody asking is not silence: without a request for `askWithin` it
 * ended with the last.
 *
 * A request lost now and then is no silence. It may cost a complete write all the same, and where the
 * watchdog lets go over it, that is nothing the controller commanded.
 */
import type { Rig } from '../../src/rig/index.ts';
import { type Span, union } from '../judge/spans.ts';
import type { Change } from '../judge/trace.ts';

const READ_INPUTS = 0x02;

export class FieldIoSilence {
  readonly #inputs: Unanswered;
  readonly #commands: Unanswered;

  constructor(rig: Rig) {
    this.#inputs = new Unanswered(rig);
    this.#commands = new Unanswered(rig);
  }

  asked(functionCode: number, atMs: number): void {
    this.#by(functionCode).asked(atMs);
  }

  answered(functionCode: number, atMs: number): void {
    this.#by(functionCode).answered(atMs);
  }

  /** Whether a request was lost within the time that its watchdog waits. */
  hasLost(atMs: number): boolean {
    return this.#inputs.hasLost(atMs) || this.#commands.hasLost(atMs);
  }

  /** Whether it answers, from `startMs` on, as far as it was asked by `endMs`. */
  answers(startMs: number, endMs: number): Change<boolean>[] {
    const silent = union(this.#inputs.silences(endMs), this.#commands.silences(endMs));
    return signalOf(silent, false, startMs);
  }

  /** Whether it owes an answer: from a request that got none to its next answer, however soon that came. */
  owes(startMs: number, endMs: number): Change<boolean>[] {
    const waited = union(this.#inputs.unanswered(endMs), this.#commands.unanswered(endMs));
    return signalOf(waited, true, startMs);
  }

  #by(functionCode: number): Unanswered {
    return functionCode === READ_INPUTS ? this.#inputs : this.#commands;
  }
}

function signalOf(spans: readonly Span[], inside: boolean, startMs: number): Change<boolean>[] {
  const changes = spans.flatMap(({ fromMs, toMs }) => [
    { atMs: fromMs, value: inside },
    { atMs: toMs, value: !inside },
  ]);
  return [{ atMs: startMs, value: !inside }, ...changes];
}

class Unanswered {
  readonly #silentAfterMs: number;
  readonly #askWithinMs: number;
  readonly #watchdogMs: number;
  readonly #spans: Span[] = [];
  /** The first request since the last answer; null where there is none. */
  #sinceMs: number | null = null;
  #askedMs = Number.NEGATIVE_INFINITY;
  #lostMs = Number.NEGATIVE_INFINITY;

  constructor({ policy, fieldIo }: Rig) {
    this.#silentAfterMs = policy.silentAfterMs;
    this.#askWithinMs = policy.askWithinMs;
    this.#watchdogMs = fieldIo.watchdogMs;
  }

  asked(atMs: number): void {
    if (this.#isOver(atMs)) this.#end(this.#askedMs);
    if (this.#sinceMs === null) this.#sinceMs = atMs;
    else this.#lostMs = this.#askedMs;
    this.#askedMs = atMs;
  }

  answered(atMs: number): void {
    this.#end(atMs);
  }

  hasLost(atMs: number): boolean {
    const lostMs = this.#sinceMs === null ? this.#lostMs : this.#askedMs;
    return atMs - lostMs <= this.#watchdogMs;
  }

  unanswered(endMs: number): readonly Span[] {
    return [...this.#spans, ...this.#openUntil(this.#isOver(endMs) ? this.#askedMs : endMs)];
  }

  silences(endMs: number): readonly Span[] {
    return this.unanswered(endMs).filter(({ fromMs, toMs }) => toMs - fromMs >= this.#silentAfterMs);
  }

  #isOver(atMs: number): boolean {
    return atMs - this.#askedMs > this.#askWithinMs;
  }

  #end(atMs: number): void {
    this.#spans.push(...this.#openUntil(atMs));
    this.#sinceMs = null;
  }

  #openUntil(toMs: number): readonly Span[] {
    const fromMs = this.#sinceMs;
    return fromMs !== null && toMs > fromMs ? [{ fromMs, toMs }] : [];
  }
}
