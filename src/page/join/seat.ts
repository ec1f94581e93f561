/**
 * A phone's seat in the class: taken with a code and a name, kept by its key, asked for once a second. When
 * the network goes it asks less often, says how old its picture is, and goes on by itself.
 */
import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Answer } from '../../lesson/index.ts';
import type { SeatView } from '../class/types.ts';
import { type Ask, createAsk, type Got } from '../data/ask.ts';
import { S } from '../texts/seat.ts';
import { keepKey, keptKey } from './kept.ts';

export interface Seat {
  /** null where there is no seat yet, or no longer. */
  readonly key: ReadonlySignal<string | null>;
  readonly view: ReadonlySignal<SeatView | null>;
  /** Age of the view once it is too old to pass for now; null while it is fresh. */
  readonly oldMs: ReadonlySignal<number | null>;
  /** Why the seat is gone, as a sentence. */
  readonly gone: ReadonlySignal<string | null>;
  readonly join: (code: string, name: string) => Promise<Got<unknown>>;
  readonly answer: (answer: Answer) => Promise<Got<unknown>>;
  readonly power: (sensor: string, on: boolean) => Promise<Got<unknown>>;
  readonly askNow: () => void;
}

const EVERY_MS = 1000;
const PAUSE_MS_MAX = 8000;
/** Two answers missed: what is shown may no longer be so. */
const OLD_AFTER_MS = 3000;
/** The bench knows no such key: it will not by waiting (RFC 9110 section 15.5). */
const GONE_STATUS: readonly number[] = [401, 403, 404, 410];

export function createSeat(base: string): Seat {
  const key = signal(keptKey());
  const view = signal<SeatView | null>(null);
  const gone = signal<string | null>(null);
  const receivedMs = signal(performance.now());
  const nowMs = signal(performance.now());
  const ask = createAsk(base, () => key.peek());
  let wake: () => void = () => undefined;
  let pauseMs = EVERY_MS;

  const take = (next: string | null, why: string | null): void => {
    key.value = next;
    view.value = null;
    gone.value = why;
    receivedMs.value = performance.now();
    keepKey(next);
  };
  const look = async (): Promise<void> => {
    const asked = key.peek();
    if (asked === null) return;
    const got = await ask<SeatView>('GET', 'api/v1/seat');
    if (key.peek() !== asked) return;
    if (got.ok) {
      view.value = got.value;
      receivedMs.value = performance.now();
    } else if (GONE_STATUS.includes(got.status)) {
      take(null, got.text);
    }
    pauseMs = got.ok ? EVERY_MS : Math.min(PAUSE_MS_MAX, pauseMs * 2);
  };
  const askNow = (): void => {
    pauseMs = EVERY_MS;
    wake();
  };
  const run = async (): Promise<never> => {
    for (;;) {
      await look();
      await new Promise<void>((resolve) => {
        wake = resolve;
        setTimeout(resolve, pauseMs);
      });
    }
  };
  void run();
  followTime(nowMs, askNow);

  const oldMs = computed(() => {
    const ageMs = nowMs.value - receivedMs.value;
    return key.value !== null && ageMs > OLD_AFTER_MS ? ageMs : null;
  });
  return { key, view, gone, oldMs, ...deedsOf(ask, take, askNow), askNow };
}

/** What a seat may do; whatever succeeds is looked at at once. */
function deedsOf(
  ask: Ask,
  take: (key: string, why: null) => void,
  askNow: () => void,
): Pick<Seat, 'join' | 'answer' | 'power'> {
  const change = async (path: string, body: unknown): Promise<Got<unknown>> => {
    const got = await ask('POST', path, body);
    if (got.ok) askNow();
    return got;
  };
  return {
    join: async (code, name) => {
      const got = await ask<{ readonly key: string }>('POST', 'api/v1/seat', { code, name });
      if (got.ok) {
        take(got.value.key, null);
        askNow();
      }
      return got;
    },
    answer: (answer) => change('api/v1/seat/answer', answer),
    power: (sensor, on) => change('api/v1/seat/power', { sensor, on }),
  };
}

/** A phone that was locked, or comes back into the network, does not wait for its turn. */
function followTime(nowMs: { value: number }, askNow: () => void): void {
  setInterval(() => {
    nowMs.value = performance.now();
  }, EVERY_MS);
  addEventListener('online', askNow);
  document.addEventListener('visibilitychange', () => {
    nowMs.value = performance.now();
    if (document.visibilityState === 'visible') askNow();
  });
}

export function joinTrouble(code: string, name: string): string | null {
  if (code === '') return S.codeMissing;
  return name === '' ? S.nameMissing : null;
}
