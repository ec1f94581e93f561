import { describe, expect, it } from 'vitest';
import type { Answer, Signal } from '../../../../sim/judge/trace.ts';
import { historyOf } from '../../../../src/app/report/history-of-trace.ts';
import type { Span } from '../../../../src/page/data/history.ts';
import { demoRig } from '../../../helpers/demo.ts';
import { requestsFor, sensorOf, traceOf } from './stories.ts';

const { policy } = demoRig();
const S = 1000;

/** One answer a second for two minutes, warm from 20 s on. */
const seconds = Array.from({ length: 120 }, (_, second) => second * S);
const level = (percentLfl: number): Signal<number> => seconds.map((atMs) => ({ atMs, value: percentLfl }));

function spans(change: (answer: Answer) => Answer | null, percentLfl = 5): readonly Span[] {
  const gas = level(percentLfl);
  const sensor = sensorOf({
    id: 'coil-a',
    serial: '240811',
    gas,
    requests: requestsFor(gas, '240811', change),
  });
  return historyOf(traceOf({ endMs: 120 * S, sensors: [sensor] }), policy).hazards;
}

const between = (fromS: number, toS: number) => (answer: Answer) =>
  answer.atMs >= fromS * S && answer.atMs < toS * S;

describe('a finished drill as a history', () => {
  it('takes over truth and commands as they are', () => {
    const trace = traceOf();
    const history = historyOf(trace, policy);
    expect(history.beganAtMs).toBe(0);
    expect(history.gas.get('coil-a')).toBe(trace.sensors[0]?.gas);
    expect(history.commands.get('heat')).toEqual([{ atMs: 0, on: false }]);
    expect(history.commands.get('trouble')).toEqual([
      { atMs: 0, on: false },
      { atMs: 366_000, on: true },
      { atMs: 481_000, on: false },
    ]);
  });

  it('shows what was answered when it was answered, and nothing while a sensor warms up', () => {
    const readings = historyOf(traceOf(), policy).readings.get('coil-a');
    expect(readings?.slice(0, 3)).toEqual([
      { atMs: 40, value: null },
      { atMs: 20_040, value: 0 },
      { atMs: 31_040, value: 0.8 },
    ]);
    expect(historyOf(traceOf(), policy).readings.get('grille')).toEqual([{ atMs: 40, value: null }]);
  });
});

describe('stretches in which a number is not to be believed', () => {
  it('are none for a sensor that is sound, warming up included', () => {
    expect(spans((answer) => answer)).toEqual([]);
  });

  it('begin with the first request that got no answer, where it took long enough', () => {
    const isCut = between(60, 66);
    expect(spans((answer) => (isCut(answer) ? null : answer))).toMatchObject([
      { hazard: 'silent', subject: 'coil-a', fromMs: 60_000, toMs: 66_040 },
    ]);
    const isBrief = between(60, 64);
    expect(spans((answer) => (isBrief(answer) ? null : answer))).toEqual([]);
  });

  it('last to the end of a sensor that never answers again, or never did', () => {
    expect(spans((answer) => (answer.atMs < 90 * S ? answer : null))).toMatchObject([
      { hazard: 'silent', fromMs: 90_000, toMs: 120_000 },
    ]);
    expect(spans(() => null)).toMatchObject([{ hazard: 'silent', fromMs: 0, toMs: 120_000 }]);
  });

  it('cover a sensor that warms up again after it was good', () => {
    const isWarm = between(60, 80);
    const restarted = (answer: Answer): Answer =>
      isWarm(answer) ? { ...answer, state: 'warming-up', gasPercentLfl: null } : answer;
    expect(spans(restarted)).toMatchObject([{ hazard: 'silent', fromMs: 60_000, toMs: 80_040 }]);
  });

  it.each([
    ['selfFailed', { state: 'failed' }],
    ['invalid', { gasPercentLfl: null }],
    ['stranger', { serial: '999999' }],
    ['contradiction', { gasPercentLfl: 20 }],
  ] as const)('%s lasts from the first such answer to the next other one', (hazard, change) => {
    const isIt = between(60, 70);
    expect(spans((answer) => (isIt(answer) ? { ...answer, ...change } : answer))).toMatchObject([
      { hazard, fromMs: 60_040, toMs: 70_040 },
    ]);
  });

  it('hold on to a contradiction until the number is below the clear level', () => {
    const falling = (answer: Answer): Answer => {
      if (between(60, 65)(answer)) return { ...answer, gasPercentLfl: 20 };
      return between(65, 70)(answer) ? { ...answer, gasPercentLfl: 18 } : answer;
    };
    expect(spans(falling)).toMatchObject([{ hazard: 'contradiction', fromMs: 60_040, toMs: 70_040 }]);
  });

  it('are none while state and number agree on gas', () => {
    expect(spans((answer) => answer, 40)).toEqual([]);
  });

  it('see a counter that stands still for long enough, and only then', () => {
    const standing = (fromS: number, toS: number) => (answer: Answer) =>
      between(fromS, toS)(answer) ? { ...answer, counter: fromS } : answer;
    expect(spans(standing(60, 70))).toMatchObject([{ hazard: 'frozen', fromMs: 60_040, toMs: 70_040 }]);
    expect(spans(standing(60, 64))).toEqual([]);
    expect(spans(standing(90, 200))).toMatchObject([{ hazard: 'frozen', fromMs: 90_040, toMs: 120_000 }]);
    expect(spans((answer) => ({ ...answer, counter: undefined }))).toEqual([]);
  });

  it('tell of a contact, which has no number, when it said gas', () => {
    expect(historyOf(traceOf(), policy).hazards.filter(({ subject }) => subject === 'grille')).toMatchObject([
      { hazard: 'gas' },
    ]);
  });
});
