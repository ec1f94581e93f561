/**
 * The instructor's desk: the class as the bench has it, asked for once a second while somebody looks, and
 * what may be done to it. One desk a page, however many views look at it.
 */
import { type ReadonlySignal, type Signal, signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { type Ask, createAsk, type Got } from '../data/ask.ts';
import { pageToken } from '../data/token.ts';
import type { ClassLesson, ClassView } from './types.ts';

export interface Desk {
  /** null before the first answer; `class` is null while none is open. */
  readonly got: ReadonlySignal<Got<{ readonly class: ClassView | null }> | null>;
  /** The lesson for which the curtain was lifted, as `mark` of it. */
  readonly lifted: Signal<string | null>;
  /** Asks while anybody looks; call what it gives to look away. */
  readonly look: () => () => void;
  readonly open: () => Promise<Got<unknown>>;
  readonly close: () => Promise<Got<unknown>>;
  readonly start: (lesson: { readonly id: string } | { readonly text: string }) => Promise<Got<unknown>>;
  readonly reveal: () => Promise<Got<unknown>>;
  readonly drop: () => Promise<Got<unknown>>;
  readonly hand: (to: string | null) => Promise<Got<unknown>>;
  readonly remove: (seat: string) => Promise<Got<unknown>>;
  readonly csv: () => Promise<Got<string>>;
}

const EVERY_MS = 1000;
/** A viewer's token opens no class, and some benches have none: asking again does not change it. */
const LASTING_STATUS: readonly number[] = [401, 403, 404];

function createDesk(ask: Ask): Desk {
  const got = signal<Desk['got']['value']>(null);
  let looking = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const refresh = async (): Promise<void> => {
    clearTimeout(timer);
    const answer = await ask<{ readonly class: ClassView | null }>('GET', 'api/v1/class');
    // What was known stays in sight while nothing answers: the page's head says that it is old.
    if (answer.ok || answer.status !== 0 || got.peek() === null) got.value = answer;
    const again = answer.ok || !LASTING_STATUS.includes(answer.status);
    clearTimeout(timer);
    if (looking > 0 && again) timer = setTimeout(() => void refresh(), EVERY_MS);
  };
  const change = async (method: 'POST' | 'DELETE', path: string, body?: unknown): Promise<Got<unknown>> => {
    const answer = await ask(method, path, body);
    await refresh();
    return answer;
  };
  return {
    got,
    lifted: signal<string | null>(null),
    look: () => {
      looking += 1;
      if (looking === 1) void refresh();
      return () => {
        looking -= 1;
        if (looking === 0) clearTimeout(timer);
      };
    },
    open: () => change('POST', 'api/v1/class', {}),
    close: () => change('DELETE', 'api/v1/class'),
    start: (lesson) => change('POST', 'api/v1/class/lesson', lesson),
    reveal: () => change('POST', 'api/v1/class/reveal', {}),
    drop: () => change('DELETE', 'api/v1/class/lesson'),
    hand: (to) => change('POST', 'api/v1/class/hand', { to }),
    remove: (seat) => change('DELETE', `api/v1/class/seats/${encodeURIComponent(seat)}`),
    csv: () => ask<string>('GET', 'api/v1/class/scores.csv'),
  };
}

let desk: Desk | null = null;

/** The page's desk, kept up to date while the component stands. */
export function useDesk(): Desk {
  desk ??= createDesk(createAsk(document.baseURI, pageToken));
  const shared = desk;
  useEffect(() => shared.look(), [shared]);
  return shared;
}

export function classOf({ got }: Desk): ClassView | null {
  return got.value?.ok === true ? got.value.value.class : null;
}

/** Tells one playing of a lesson from another. */
export function markOf({ id, beganAtMs }: ClassLesson): string {
  return `${id ?? ''} ${beganAtMs}`;
}
