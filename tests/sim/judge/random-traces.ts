/**
 * Random traces for properties: everything on whole seconds, limits of a few seconds, and controllers that
 * keep to the rules often enough to show both sides of each.
 */
import fc from 'fast-check';
import type {
  Answer,
  Change,
  JudgedPolicy,
  Request,
  SensorTrace,
  Signal,
  Trace,
} from '../../../sim/judge/index.ts';

export const SHORT_POLICY: JudgedPolicy = {
  setpointPercentLfl: 20,
  clearBelowPercentLfl: 18,
  holdMs: 15_000,
  silentAfterMs: 3_000,
  askWithinMs: 4_000,
  respondWithinMs: 4_000,
  fanProofWithinMs: 3_000,
  compressorMinOffMs: 8_000,
  resumeWithinMs: 10_000,
  watchdogMs: 5_000,
  latchAfter: { trips: 2, withinMs: 60_000 },
  circuits: ['a', 'b'],
};

export const LENGTH_S = 150;

/** Stretches of a value, from the beginning on, until the drill is over. */
function stretches<Value>(
  value: fc.Arbitrary<Value>,
  longest: number,
): fc.Arbitrary<readonly { value: Value; lastsS: number }[]> {
  const stretch = fc.record({ value, lastsS: fc.integer({ min: 1, max: longest }) });
  return fc.array(stretch, { minLength: 12, maxLength: 40 });
}

export function signalOf<Value>(list: readonly { value: Value; lastsS: number }[]): Signal<Value> {
  const changes: Change<Value>[] = [];
  let atS = 0;
  for (const { value, lastsS } of list) {
    if (atS >= LENGTH_S) break;
    changes.push({ atMs: atS * 1000, value });
    atS += lastsS;
  }
  return changes;
}

function at<Value>(signal: Signal<Value>, atMs: number): Value {
  const value = signal.filter((change) => change.atMs <= atMs).at(-1)?.value;
  if (value === undefined) throw new RangeError('before the first change');
  return value;
}

/** On nearly always, or off nearly always. */
const rarely = (usual: boolean): fc.Arbitrary<Signal<boolean>> =>
  fc.oneof(
    { weight: 3, arbitrary: fc.constant([{ atMs: 0, value: usual }]) },
    {
      weight: 1,
      arbitrary: fc
        .tuple(fc.integer({ min: 0, max: LENGTH_S }), fc.integer({ min: 1, max: 25 }))
        .map(([fromS, lastsS]) => [
          ...(fromS > 0 ? [{ atMs: 0, value: usual }] : []),
          { atMs: fromS * 1000, value: !usual },
          { atMs: (fromS + lastsS) * 1000, value: usual },
        ]),
    },
  );

const sometimes = (longest: number): fc.Arbitrary<Signal<boolean>> =>
  stretches(fc.boolean(), longest).map(signalOf);

const MOODS = {
  fine: {},
  trace: { gasPercentLfl: 5 },
  gas: { state: 'gas', gasBit: true, gasPercentLfl: 25 },
  bitOnly: { gasBit: true, gasPercentLfl: 3 },
  dip: { gasPercentLfl: 19 },
  contradiction: { gasPercentLfl: 20 },
  failed: { state: 'failed', gasPercentLfl: null },
  invalid: { gasPercentLfl: null },
  partial: { gasPercentLfl: undefined },
  partialGas: { state: 'gas', gasPercentLfl: undefined },
  warming: { state: 'warming-up', selfTestPassed: false, gasPercentLfl: null },
  untested: { selfTestPassed: false },
  stranger: { serial: 'other' },
  frozen: { counter: 7 },
  silent: null,
  unasked: null,
} as const satisfies Readonly<Record<string, Partial<Answer> | null>>;

export type Mood = keyof typeof MOODS;
const CONTACT_MOODS: readonly Mood[] = ['fine', 'gas', 'silent', 'unasked'];

function moods(list: readonly Mood[]): fc.Arbitrary<Signal<Mood>> {
  const one = fc.oneof(
    { weight: 2, arbitrary: fc.constant<Mood>('fine') },
    { weight: 1, arbitrary: fc.constantFrom(...list) },
  );
  const calm = fc.constant<Signal<Mood>>([{ atMs: 0, value: 'fine' }]);
  // Gas that comes and goes is what lock-outs are made of.
  const gusts = stretches(fc.constantFrom<Mood>('fine', 'gas'), 20).map(signalOf);
  return fc.oneof(calm, gusts, stretches(one, 20).map(signalOf));
}

function sensor(id: string, kind: 'modbus' | 'contact'): fc.Arbitrary<SensorTrace> {
  const list = kind === 'modbus' ? (Object.keys(MOODS) as Mood[]) : CONTACT_MOODS;
  return fc
    .record({
      moods: moods(list),
      delays: fc.array(fc.constantFrom(0, 0, 0, 1), { minLength: 1, maxLength: 9 }),
      warmS: fc.constantFrom(0, 0, 6),
      gas: stretches(fc.constantFrom(0, 10, 24.9, 25, 60), 80).map(signalOf),
      sound: rarely(true),
      powered: kind === 'modbus' ? rarely(true) : fc.constant([{ atMs: 0, value: true }]),
    })
    .map(({ moods: says, delays, warmS, ...rest }) => ({
      id,
      kind,
      serial: kind === 'modbus' ? id : null,
      requests: requestsOf(kind, says, delays, warmS),
      ...rest,
    }));
}

export function requestsOf(
  kind: 'modbus' | 'contact',
  says: Signal<Mood>,
  delays: readonly number[],
  warmS: number,
): readonly Request[] {
  const requests: Request[] = [];
  let atS = 0;
  while (atS < LENGTH_S) {
    const mood = at(says, atS * 1000);
    const delayS = delays[requests.length % delays.length] ?? 0;
    const atMs = (atS + delayS) * 1000;
    const said = kind === 'modbus' && atS < warmS ? MOODS.warming : MOODS[mood];
    const plain: Answer = {
      atMs,
      state: 'measuring',
      gasBit: false,
      selfTestPassed: true,
      gasPercentLfl: kind === 'modbus' ? 0 : undefined,
      counter: kind === 'modbus' ? atS : undefined,
      serial: kind === 'modbus' && delayS === 0 ? 'planned' : undefined,
    };
    if (mood !== 'unasked') {
      const full = said === null ? null : { ...plain, ...said };
      requests.push({ atMs: atS * 1000, answer: kind === 'contact' && full !== null ? bare(full) : full });
    }
    atS += delayS + 1;
  }
  return requests;
}

/** A contact has nothing but its state. */
function bare({ atMs, state }: Answer): Answer {
  return {
    atMs,
    state,
    gasBit: false,
    selfTestPassed: true,
    gasPercentLfl: undefined,
    counter: undefined,
    serial: undefined,
  };
}

/** What a controller does at a time: mitigate, serve, move air, all off. */
const DEEDS = {
  mitigate: { fan: true, damper: true },
  cool: { fan: true, damper: true, 'compressor.a': true },
  coolMore: { fan: true, damper: true, 'compressor.a': true, 'compressor.b': true },
  warm: { fan: true, damper: true, heat: true },
  off: {},
} as const;
const OUTPUTS = ['fan', 'damper', 'heat', 'compressor.a', 'compressor.b'] as const;
export type Deed = keyof typeof DEEDS;

const deeds: fc.Arbitrary<Signal<Deed>> = fc.oneof(
  stretches(fc.constantFrom<Deed>('mitigate', 'cool', 'coolMore', 'warm', 'off'), 12).map(signalOf),
  stretches(fc.constantFrom<Deed>('mitigate', 'cool', 'mitigate', 'off'), 45).map(signalOf),
  // One that runs for a time at most, and then never again.
  stretches(fc.constantFrom<Deed>('mitigate', 'mitigate', 'mitigate', 'off'), 60).map((list) =>
    signalOf(list.map((one, index) => (index === 0 ? { ...one, value: 'cool' as const } : one))),
  ),
);

export const anyTrace: fc.Arbitrary<Trace> = fc
  .record({
    sensors: fc.tuple(sensor('one', 'modbus'), sensor('two', 'modbus'), sensor('grille', 'contact')),
    deeds,
    alarm: fc.oneof(sometimes(40), fc.constant([{ atMs: 0, value: true }])),
    trouble: fc.oneof(sometimes(40), fc.constant([{ atMs: 0, value: true }])),
    airflow: fc.oneof(sometimes(25), fc.constant([{ atMs: 0, value: true }])),
    fire: rarely(false),
    serviceReset: fc.oneof(sometimes(20), rarely(false)),
    cooling: sometimes(60),
    heating: rarely(false),
    watchdogHolds: rarely(false),
    rigPower: rarely(true),
    controllerPower: rarely(true),
    fieldIoAnswers: rarely(true),
    asksItself: fc.constantFrom(false, false, false, true),
    fieldIoOwes: fc.oneof(sometimes(20), rarely(false)),
    commandsLost: rarely(false),
  })
  .map(traceOf);

/** What a trace is drawn from; its outputs are deeds. */
interface Drawn extends Omit<Trace, 'startMs' | 'endMs' | 'outputs' | 'inputs'> {
  readonly deeds: Signal<Deed>;
  readonly alarm: Signal<boolean>;
  readonly trouble: Signal<boolean>;
  readonly airflow: Signal<boolean>;
  readonly fire: Signal<boolean>;
  readonly serviceReset: Signal<boolean>;
  readonly cooling: Signal<boolean>;
  readonly heating: Signal<boolean>;
}

export function traceOf(drawn: Drawn): Trace {
  const doing = (output: string): Signal<boolean> =>
    drawn.deeds.map(({ atMs, value }) => ({ atMs, value: output in DEEDS[value] }));
  return {
    startMs: 0,
    endMs: LENGTH_S * 1000,
    sensors: drawn.sensors.map((one) => (one.kind === 'modbus' ? { ...one, serial: 'planned' } : one)),
    outputs: new Map([
      ...OUTPUTS.map((output) => [output, doing(output)] as const),
      ['alarm', drawn.alarm],
      ['trouble', drawn.trouble],
    ]),
    inputs: new Map([
      ['airflow', drawn.airflow],
      ['fire', drawn.fire],
      ['serviceReset', drawn.serviceReset],
      ['call.cooling', drawn.cooling],
      ['call.heating', drawn.heating],
    ]),
    watchdogHolds: drawn.watchdogHolds,
    rigPower: drawn.rigPower,
    controllerPower: drawn.controllerPower,
    fieldIoAnswers: drawn.fieldIoAnswers,
    fieldIoOwes: drawn.fieldIoOwes,
    commandsLost: drawn.commandsLost,
    asksItself: drawn.asksItself,
  };
}
