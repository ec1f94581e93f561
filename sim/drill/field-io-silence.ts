/**
 * When the field I/O could not be heard: from the first request that got no answer until one did, where that
 * took `silentAfter`. Nobody asking is not silence: without a request for `askWithin` it ended with the last.
 *
 * A request lost now and then is no silence. It may cost a complete write all the same, and where the
 * watchdog lets go over it, that is nothing the controller commanded.
 */
import type { Rig } from '../../src/rig/index.ts';
import type { Span } from '../judge/spans.ts';
import type { Change } from '../judge/trace.ts';

const NONE: readonly Span[] = [];

export class FieldIoSilence {
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

  /** Whether a request was lost within the time that its watchdog waits. */
  hasLost(atMs: number): boolean {
    const lostMs = this.#sinceMs === null ? this.#lostMs : this.#askedMs;
    return atMs - lostMs <= this.#watchdogMs;
  }

  /** Whether it answers, from `startMs` to `endMs`. */
  answers(startMs: number, endMs: number): Change<boolean>[] {
    const last = this.#silenceUntil(this.#isOver(endMs) ? this.#askedMs : endMs);
    const changes = [...this.#spans, ...last].flatMap(({ fromMs, toMs }) => [
      { atMs: fromMs, value: false },
      { atMs: toMs, value: true },
    ]);
    return [{ atMs: startMs, value: true }, ...changes.filter(({ atMs }) => atMs <= endMs)];
  }

  #isOver(atMs: number): boolean {
    return atMs - this.#askedMs > this.#askWithinMs;
  }

  #end(atMs: number): void {
    this.#spans.push(...this.#silenceUntil(atMs));
    this.#sinceMs = null;
  }

  #silenceUntil(toMs: number): readonly Span[] {
    const fromMs = this.#sinceMs;
    return fromMs !== null && toMs - fromMs >= this.#silentAfterMs ? [{ fromMs, toMs }] : NONE;
  }
}
