/**
 * Random traces about lock-outs: gas that comes and goes, a controller that stays in mitigation but for a gap in
 * judged time and a leaving or two, and that serves in the end or does not.
 */
import fc from 'fast-check';
import type { Signal, Trace } from '../../../sim/judge/index.ts';
import { type Deed, LENGTH_S, type Mood, requestsOf, signalOf, traceOf } from './random-traces.ts';

const GAPS = ['controllerPower', 'rigPower', 'fieldIoAnswers', 'fire'] as const;
const SETTLED_S = 15;
const LAST_FROM_S = LENGTH_S - 30;

const seconds = (min: number, max: number): fc.Arbitrary<number> => fc.integer({ min, max });
const window = (min: number, max: number): fc.Arbitrary<readonly [number, number]> =>
  fc
    .tuple(seconds(SETTLED_S, LAST_FROM_S), seconds(min, max))
    .map(([fromS, lastsS]) => [fromS, fromS + lastsS]);

const gusts: fc.Arbitrary<Signal<Mood>> = fc
  .array(fc.tuple(seconds(5, 45), seconds(1, 6)), { minLength: 9, maxLength: 9 })
  .map((list) =>
    signalOf(
      list.flatMap(([calmS, gasS]) => [
        { value: 'fine' as const, lastsS: calmS },
        { value: 'gas' as const, lastsS: gasS },
      ]),
    ),
  );

export const lockableTrace: fc.Arbitrary<Trace> = fc
  .record({
    gusts,
    gap: fc.record({
      kind: fc.constantFrom(...GAPS),
      span: window(1, 25),
      atGust: fc.boolean(),
      lateS: seconds(0, 6),
    }),
    leavings: fc.array(window(1, 6), { maxLength: 2 }),
    called: fc.boolean(),
    atLast: fc.constantFrom<Deed>('mitigate', 'cool'),
  })
  .map(({ gusts: says, gap, leavings, called, atLast }): Trace => {
    const always = [{ atMs: 0, value: true }];
    const never = [{ atMs: 0, value: false }];
    const [anyFromS, anyToS] = gap.span;
    const gustMs = says.find(({ atMs, value }) => value === 'gas' && atMs > SETTLED_S * 1000)?.atMs;
    const fromS = gap.atGust && gustMs !== undefined ? gustMs / 1000 : anyFromS;
    const toS = fromS + anyToS - anyFromS;
    const gapped = (kind: (typeof GAPS)[number], usual: boolean): Signal<boolean> =>
      signalOf([
        { value: usual, lastsS: fromS },
        { value: (kind === gap.kind) !== usual, lastsS: toS - fromS },
        { value: usual, lastsS: LENGTH_S },
      ]);
    return traceOf({
      sensors: [
        {
          ...{ id: 'one', kind: 'modbus', serial: 'planned', requests: requestsOf('modbus', says, [0], 0) },
          ...{ gas: [{ atMs: 0, value: 0 }], sound: always, powered: always },
        },
      ],
      deeds: deedsWith([[fromS, toS + gap.lateS], ...leavings], atLast),
      ...{ alarm: always, trouble: always, airflow: always, serviceReset: never, heating: never },
      cooling: called ? always : never,
      fire: gapped('fire', false),
      watchdogHolds: never,
      rigPower: gapped('rigPower', true),
      controllerPower: gapped('controllerPower', true),
      fieldIoAnswers: gapped('fieldIoAnswers', true),
      fieldIoOwes: [{ atMs: 0, value: false }],
      commandsLost: [{ atMs: 0, value: false }],
      asksItself: false,
    });
  });

/** Mitigation, off in these spans. */
function deedsWith(off: readonly (readonly [number, number])[], atLast: Deed): Signal<Deed> {
  const deedAt = (atS: number): Deed => {
    if (off.some(([fromS, toS]) => atS >= fromS && atS < toS)) return 'off';
    return atS < LAST_FROM_S ? 'mitigate' : atLast;
  };
  return signalOf(Array.from({ length: LENGTH_S }, (_, atS) => ({ value: deedAt(atS), lastsS: 1 })));
}
