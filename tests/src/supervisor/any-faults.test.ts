/**
 * Whatever sensors, wires and people do in whatever order, what can be seen from outside stays safe; and once
 * all is mended, calls are served again in time. Judged on the answers given and the commands taken alone.
 */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { MINUTE, Outside, SECOND } from './outside.ts';
import { type Answered, mitigates, type Seen, serves, stopped } from './seen.ts';
import { type Says, SOUND } from './tiny-rig.ts';

const { LEAKBENCH_LONG } = process.env;
const RUNS = LEAKBENCH_LONG === '1' ? 1000 : 20;
const HOLD = 5 * MINUTE;
/** From a report to its mitigation: limit of the rig. */
const RESPOND = 15 * SECOND;

const sound: Says = { ...SOUND };
const SAYS: readonly Partial<Says>[] = [
  {},
  { state: 'gas', gas: 40, gasBit: true },
  { state: 'gas', gas: 3, gasBit: true },
  { gas: 19 },
  { gas: 25 },
  { state: 'failed', gas: null, selfTestPassed: false },
  { state: 'warming-up', gas: null, selfTestPassed: false },
  { selfTestPassed: false },
  { gas: null },
  { answers: false },
];

type Act =
  | readonly [what: 'coil-a' | 'coil-b', says: number]
  | readonly ['call' | 'fire' | 'fan' | 'writes' | 'contact', boolean];

const act: fc.Arbitrary<Act> = fc.oneof(
  { weight: 5, arbitrary: fc.tuple(fc.constantFrom('coil-a', 'coil-b'), fc.nat(SAYS.length - 1)) },
  {
    weight: 3,
    arbitrary: fc.tuple(fc.constantFrom('call', 'fire', 'fan', 'writes', 'contact'), fc.boolean()),
  },
);
/** Pauses from within a poll to beyond the hold. */
const pause = fc.oneof(fc.integer({ min: 1, max: 8000 }), fc.integer({ min: 8000, max: 320_000 }));

function does(outside: Outside, [what, how]: Act): void {
  if (typeof how === 'number') outside.say(what, { ...sound, serial: serialOf(outside, what), ...SAYS[how] });
  else if (what === 'call') outside.calls.cooling = how;
  else if (what === 'fire') outside.fire = how;
  else if (what === 'fan') outside.fanDead = !how;
  else if (what === 'writes') outside.writesArrive = how;
  else outside.closed.set('grille', how);
}

function serialOf(outside: Outside, sensor: string): string {
  return outside.says.get(sensor)?.serial ?? '';
}

function mend(outside: Outside): void {
  for (const sensor of ['coil-a', 'coil-b'] as const) does(outside, [sensor, 0]);
  for (const what of ['call', 'fan', 'writes', 'contact'] as const) does(outside, [what, true]);
  does(outside, ['fire', false]);
}

interface Reason {
  readonly fromMs: number;
  readonly untilMs: number;
}

/** Stretches of answers that show a reason, each to its last such answer: the laxest reading there is. */
function reasonsOf(answers: readonly Answered[]): readonly Reason[] {
  const reasons: Reason[] = [];
  let fromMs: number | null = null;
  let lastMs = 0;
  for (const { atMs, says } of answers) {
    const shows =
      says.state === 'gas' || says.gasBit || says.state === 'failed' || (says.gas !== null && says.gas >= 20);
    if (shows) {
      fromMs ??= atMs;
      lastMs = atMs;
    } else if (fromMs !== null && says.state !== 'warming-up') {
      reasons.push({ fromMs, untilMs: lastMs });
      fromMs = null;
    }
  }
  if (fromMs !== null) reasons.push({ fromMs, untilMs: lastMs });
  return reasons;
}

/** Everything wrong between the commands and the reasons of a run. */
function judge(outside: Outside): readonly string[] {
  const wrong: string[] = [];
  const excused = [...outside.fires, ...outside.losses];
  const isExcused = (fromMs: number, untilMs: number): boolean =>
    excused.some((one) => one.fromMs <= untilMs && one.untilMs >= fromMs);
  for (const [sensor, answers] of outside.answered) {
    for (const { fromMs, untilMs } of reasonsOf(answers)) {
      const reachedMs = outside.first(fromMs, mitigates);
      const due = untilMs - fromMs > RESPOND && !isExcused(fromMs, fromMs + RESPOND);
      if (due && reachedMs > fromMs + RESPOND) wrong.push(`${sensor} at ${fromMs}: reached at ${reachedMs}`);
      if (reachedMs > untilMs || isExcused(fromMs, untilMs + HOLD)) continue;
      const leftMs = outside.first(reachedMs, (seen) => !mitigates(seen));
      if (leftMs < untilMs + HOLD) wrong.push(`${sensor} at ${fromMs}: left at ${leftMs}, ended ${untilMs}`);
    }
  }
  const offSinceMs = outside.plan.circuits.map(() => Number.NEGATIVE_INFINITY);
  outside.seen.forEach((seen, index) => {
    const before: Seen | undefined = outside.seen[index - 1];
    seen.compressors.forEach((on, circuit) => {
      const was = before?.compressors[circuit] === true;
      if (was && !on) offSinceMs[circuit] = seen.atMs;
      if (!was && on && seen.atMs - (offSinceMs[circuit] ?? 0) < 3 * MINUTE)
        wrong.push(`short cycle at ${seen.atMs}`);
    });
  });
  for (const { fromMs, untilMs } of outside.fires) {
    if (untilMs - fromMs < 5 * SECOND || isLost(outside, fromMs, fromMs + 5 * SECOND)) continue;
    const offMs = outside.first(fromMs, (seen) => !seen.fan && stopped(seen));
    if (offMs > fromMs + 5 * SECOND) wrong.push(`fire at ${fromMs}: off at ${offMs}`);
  }
  return wrong;
}

function isLost(outside: Outside, fromMs: number, untilMs: number): boolean {
  return outside.losses.some((one) => one.fromMs <= untilMs && one.untilMs >= fromMs);
}

it('is safe while anything happens, and serves again when nothing is wrong any more', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(act, pause), { minLength: 1, maxLength: 12 }), (acts) => {
      const outside = new Outside();
      outside.calls.cooling = true;
      outside.run(MINUTE);
      for (const [one, pauseMs] of acts) {
        does(outside, one);
        outside.run(outside.nowMs + pauseMs);
      }
      mend(outside);
      outside.run(outside.nowMs + HOLD + 30 * SECOND);
      expect(judge(outside)).toEqual([]);
      expect(serves(outside.at(outside.nowMs))).toBe(true);
    }),
    { numRuns: RUNS },
  );
}, 3_000_000);
