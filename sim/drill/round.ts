/** Requests of one round of polls, and the same round over again. */
import { COUNTER_WRAPS_AT } from '../device/index.ts';
import type { Answer, Request } from '../judge/trace.ts';

const MS_PER_S = 1000;

/** What was asked at `now`; null where any of it was not answered, or not with a counter that counts. */
export function roundOf(
  requests: readonly Request[],
  now: number,
  everyMs: number,
): readonly Request[] | null {
  const first = requests.findLastIndex(({ atMs }) => atMs !== now) + 1;
  const round = requests.slice(first);
  const isSound = round.every(({ answer }, index) => {
    const before = requests[first - round.length + index]?.answer;
    return answer !== null && counts(before ?? null, answer, everyMs);
  });
  return isSound ? round : null;
}

function counts(before: Answer | null, answer: Answer, everyMs: number): boolean {
  if (answer.counter === undefined) return true;
  return before?.counter !== undefined && counted(before.counter, everyMs) === answer.counter;
}

function counted(counter: number, byMs: number): number {
  return (counter + byMs / MS_PER_S) % COUNTER_WRAPS_AT;
}

/** The same, asked and answered so much later. */
export function later({ atMs, answer }: Request, byMs: number): Request {
  if (answer === null) return { atMs: atMs + byMs, answer };
  const counter = answer.counter === undefined ? undefined : counted(answer.counter, byMs);
  // Field by field: it is made for every poll that is leapt over.
  return {
    atMs: atMs + byMs,
    answer: {
      atMs: answer.atMs + byMs,
      state: answer.state,
      gasBit: answer.gasBit,
      selfTestPassed: answer.selfTestPassed,
      gasPercentLfl: answer.gasPercentLfl,
      counter,
      serial: answer.serial,
    },
  };
}
