/**
 * How often a code may be guessed: so many wrong ones a minute and client, and so many by all together, since
 * a client may have more than one address. Only wrong codes count, so that a class of thirty behind one
 * address can join at once.
 *
 * All together is also the bound of what is remembered: whoever has to wait is not counted again.
 */

export interface WrongCodes {
  readonly minuteFromMs: number;
  readonly all: number;
  readonly byClient: ReadonlyMap<string, number>;
}

export interface WrongCodesMax {
  readonly perClient: number;
  readonly all: number;
}

const MINUTE_MS = 60_000;

export const NO_WRONG_CODES: WrongCodes = {
  minuteFromMs: Number.NEGATIVE_INFINITY,
  all: 0,
  byClient: new Map(),
};

/** How long a client has to wait before its next code is looked at; 0 where it need not. */
export function waitMs(wrong: WrongCodes, client: string, max: WrongCodesMax, now: number): number {
  const { minuteFromMs, all, byClient } = wrong;
  if (isOver(wrong, now)) return 0;
  if (all < max.all && (byClient.get(client) ?? 0) < max.perClient) return 0;
  return minuteFromMs + MINUTE_MS - now;
}

/** One more. */
export function withWrongCode(wrong: WrongCodes, client: string, now: number): WrongCodes {
  const { minuteFromMs, all, byClient } = isOver(wrong, now)
    ? { ...NO_WRONG_CODES, minuteFromMs: now }
    : wrong;
  return {
    minuteFromMs,
    all: all + 1,
    byClient: new Map(byClient).set(client, (byClient.get(client) ?? 0) + 1),
  };
}

/** A clock that was set back begins a new minute: nobody waits for longer than one. */
function isOver({ minuteFromMs }: WrongCodes, now: number): boolean {
  return now < minuteFromMs || now - minuteFromMs >= MINUTE_MS;
}
