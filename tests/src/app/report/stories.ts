/**
 * Drills as they might have run, written by hand: the reports are tested on what they are given, not on
 * what a runner or a judge makes of a controller. Nothing here was judged.
 */
import type { Drill } from '../../../../sim/drill/drill.ts';
import type { Expectation } from '../../../../sim/drill/expectation.ts';
import { RULE_IDS, type RuleId, type RuleResult } from '../../../../sim/judge/rules.ts';
import type { Answer, Change, Request, SensorTrace, Signal, Trace } from '../../../../sim/judge/trace.ts';
import { type DrillVerdict, type VerdictParts, verdictOf } from '../../../../src/app/report/verdict.ts';
import type { Fact } from '../../../../src/events/index.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig, stepFor } from '../../../helpers/demo.ts';

const S = 1000;
const MIN = 60 * S;
const LENGTH_MS = 25 * MIN;
const RIG = { ...demoRig(), file: './tide-street.rig.yaml' };

const TEXT = `drill: 1
name: Gas lingers past the hold
why: Gas comes back through the return air; a controller that only counts minutes restarts in it.
rig: ./tide-street.rig.yaml
length: 25 min
calls: { cooling: off }
steps:
  - { at: 30 s,   release: { at: cabinet, rate: 10 g/s, lasts: 7 min } }
  - { at: 90 s,   call:    { cooling: on } }
  - { at: 6 min,  fault:   { in: coil-b, kind: silent, lasts: 2 min } }
  - { at: 16 min, testGas: { at: coil-a, level: 40 %LFL, lasts: 30 s } }
rules: all
expect:
  - { when: coil-a.gas >= setpoint, then: fan, within: 45 s, for: 5 min }
  - { at: 15 min, then: compressor.a }
`;

const fan = { kind: 'signal', name: 'fan' } as const;
const atSetpoint = { kind: 'compare', name: 'coil-a.gas', operator: '>=', percentLfl: 20 } as const;

const EXPECTATIONS: readonly Expectation[] = [
  {
    text: 'when coil-a.gas >= setpoint, then fan within 45 s, for 5 min',
    when: atSetpoint,
    // biome-ignore lint/suspicious/noThenProperty: the word of the drill file
    then: fan,
    withinMs: 45 * S,
    forMs: 5 * MIN,
  },
  {
    text: 'at 15 min, then compressor.a',
    when: { atMs: 15 * MIN },
    // biome-ignore lint/suspicious/noThenProperty: the word of the drill file
    then: { kind: 'signal', name: 'compressor.a' },
    withinMs: 0,
    forMs: 0,
  },
];

export function drillOf(changes: Partial<Drill> = {}): Drill {
  const at = (atMs: number, written: unknown) => ({ atMs: ms(atMs), step: stepFor(RIG, written) });
  return {
    name: 'Gas lingers past the hold',
    why: 'Gas comes back through the return air; a controller that only counts minutes restarts in it.',
    file: 'drills/lingering-gas.drill.yaml',
    text: TEXT,
    rigFile: './tide-street.rig.yaml',
    rig: RIG,
    lengthMs: ms(LENGTH_MS),
    calls: { cooling: false, heating: false, fan: false },
    steps: [
      at(30 * S, { release: { at: 'cabinet', rate: '10 g/s', lasts: '7 min' } }),
      at(90 * S, { call: { cooling: 'on' } }),
      at(6 * MIN, { fault: { in: 'coil-b', kind: 'silent', lasts: '2 min' } }),
      at(16 * MIN, { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } }),
    ],
    rules: RULE_IDS,
    expectations: EXPECTATIONS,
    lesson: null,
    ...changes,
  };
}

/** Gas that rises to a level while the release lasts, and thins out after it. */
function lingering(level: number, thinsMs: number): Signal<number> {
  const from = 30 * S;
  const until = from + 7 * MIN;
  const at = (atMs: number): number => {
    if (atMs < from) return 0;
    const rise = level * (1 - Math.exp(-(Math.min(atMs, until) - from) / (60 * S)));
    return atMs <= until ? rise : rise * Math.exp(-(atMs - until) / thinsMs);
  };
  return everySecond(at);
}

function everySecond(at: (atMs: number) => number): Signal<number> {
  return Array.from({ length: LENGTH_MS / S + 1 }, (_, second) => ({
    atMs: second * S,
    value: Math.round(at(second * S) * 10) / 10,
  }));
}

function on(...changes: readonly (readonly [atMs: number, value: boolean])[]): Signal<boolean> {
  return changes.map(([atMs, value]) => ({ atMs, value }));
}

const ALWAYS = on([0, true]);
const NEVER = on([0, false]);

/** What a sound sensor would have answered, once a second; null is no answer. */
export function requestsFor(
  gas: Signal<number>,
  serial: string,
  change: (answer: Answer) => Answer | null = (answer) => answer,
): readonly Request[] {
  return gas.map(({ atMs, value }) => {
    const warm = atMs >= 20 * S;
    const answer: Answer = {
      atMs: atMs + 40,
      state: warm ? (value >= 20 ? 'gas' : 'measuring') : 'warming-up',
      gasBit: warm && value >= 20,
      selfTestPassed: warm,
      gasPercentLfl: warm ? value : null,
      counter: atMs / S,
      serial,
    };
    return { atMs, answer: change(answer) };
  });
}

export function sensorOf(changes: Partial<SensorTrace> & { readonly id: string }): SensorTrace {
  return {
    kind: 'modbus',
    serial: null,
    requests: [],
    gas: [{ atMs: 0, value: 0 }],
    sound: ALWAYS,
    powered: ALWAYS,
    ...changes,
  };
}

function contactRequests(gas: Signal<number>): readonly Request[] {
  return gas.map(({ atMs, value }) => ({
    atMs,
    answer: {
      atMs: atMs + 40,
      state: value >= 20 ? 'gas' : 'measuring',
      gasBit: value >= 20,
      selfTestPassed: true,
      gasPercentLfl: undefined,
      counter: undefined,
      serial: undefined,
    },
  }));
}

export function traceOf(changes: Partial<Trace> = {}): Trace {
  const coilA = lingering(46, 4 * MIN).map(({ atMs, value }): Change<number> => {
    const held = atMs >= 16 * MIN && atMs < 16 * MIN + 30 * S;
    return { atMs, value: held ? 40 : value };
  });
  const coilB = lingering(42, 4 * MIN);
  const grille = lingering(24, 9 * MIN);
  const isCut = (atMs: number): boolean => atMs >= 6 * MIN && atMs < 8 * MIN;
  return {
    startMs: 0,
    endMs: LENGTH_MS,
    sensors: [
      sensorOf({ id: 'coil-a', serial: '240811', gas: coilA, requests: requestsFor(coilA, '240811') }),
      sensorOf({
        id: 'coil-b',
        serial: '240812',
        gas: coilB,
        requests: requestsFor(coilB, '240812', (answer) => (isCut(answer.atMs) ? null : answer)),
        sound: on([0, true], [6 * MIN, false], [8 * MIN, true]),
      }),
      sensorOf({ id: 'grille', kind: 'contact', gas: grille, requests: contactRequests(grille) }),
    ],
    outputs: new Map<string, Signal<boolean>>([
      ['fan', on([0, false], [66 * S, true], [6.5 * MIN, false], [16 * MIN + 2 * S, true])],
      ['damper', on([0, false], [66 * S, true], [6.5 * MIN, false], [16 * MIN + 2 * S, true])],
      ['heat', NEVER],
      ['compressor.a', on([0, false], [7 * MIN, true], [16 * MIN + 2 * S, false])],
      ['compressor.b', on([0, false], [9 * MIN, true], [16 * MIN + 2 * S, false])],
      [
        'alarm',
        on([0, false], [66 * S, true], [11 * MIN, false], [16 * MIN + 2 * S, true], [17 * MIN, false]),
      ],
      ['trouble', on([0, false], [6 * MIN + 6 * S, true], [8 * MIN + S, false])],
    ]),
    inputs: new Map<string, Signal<boolean>>([
      ['airflow', on([0, false], [70 * S, true], [6.5 * MIN + S, false], [16 * MIN + 6 * S, true])],
      ['call.cooling', on([0, false], [90 * S, true])],
      ['call.heating', NEVER],
      ['call.fan', NEVER],
      ['fire', NEVER],
      ['serviceReset', NEVER],
    ]),
    watchdogHolds: NEVER,
    rigPower: ALWAYS,
    controllerPower: ALWAYS,
    fieldIoAnswers: ALWAYS,
    fieldIoOwes: on([0, false]),
    commandsLost: on([0, false]),
    asksItself: true,
    ...changes,
  };
}

export function ruleResult(id: RuleId, changes: Partial<RuleResult> = {}): RuleResult {
  return { id, result: 'not exercised', marginS: null, atMs: null, sensor: null, because: [], ...changes };
}

const RECHECK_BECAUSE = [
  'coil-a first reported gas at 0:01:05 (20.2 %LFL)',
  'the hold since that report had passed at 0:06:05',
  'coil-a still reported 44.9 %LFL at 0:06:30',
  'the fan was commanded off at 0:06:30',
];

/** A controller that counts minutes from the first report and never looks again. */
const RESULTS: Partial<Record<RuleId, Partial<RuleResult>>> = {
  ask: { result: 'held', marginS: 9, atMs: 0, sensor: 'coil-a' },
  respond: {
    result: 'held',
    marginS: 14.2,
    atMs: 66 * S,
    sensor: 'coil-a',
    because: ['coil-a reported gas at 0:01:05', 'mitigation stood at 0:01:06, 0.8 s later; 15 s are allowed'],
  },
  silent: {
    result: 'broken',
    marginS: -105,
    atMs: 6 * MIN + 30 * S,
    sensor: 'coil-b',
    because: ['coil-b did not answer from 0:06:00 to 0:08:00', 'mitigation was left at 0:06:30'],
  },
  'self-failed': {},
  identity: { result: 'not applicable', because: ['grille cannot tell its serial'] },
  chain: { result: 'held', marginS: 31.5, atMs: 66 * S, sensor: 'coil-b' },
  'stay-off': { result: 'held', marginS: 0, atMs: 6 * MIN + 5 * S, sensor: 'coil-a' },
  recheck: {
    result: 'broken',
    marginS: -318,
    atMs: 6 * MIN + 30 * S,
    sensor: 'coil-a',
    because: RECHECK_BECAUSE,
  },
  hold: {
    result: 'broken',
    marginS: -0.04,
    atMs: 17 * MIN,
    sensor: null,
    because: ['mitigation ended early'],
  },
  'short-cycle': { result: 'held', marginS: 12.5, atMs: 7 * MIN, sensor: null },
  announce: { result: 'held', marginS: 8.4, atMs: 6 * MIN + 6 * S, sensor: 'coil-b' },
};

function resultsOf(changes: typeof RESULTS = RESULTS): readonly RuleResult[] {
  return RULE_IDS.map((id) => ruleResult(id, changes[id]));
}

const FACTS: readonly Fact[] = [
  { id: 'supervisor.started', atMs: 0, fields: { state: 'starting', reason: 'no sensor was heard yet' } },
  { id: 'reading.changed', atMs: 21_000, fields: { sensor: 'coil-a', state: 'measuring', percentLfl: 0 } },
  {
    id: 'hazard.raised',
    atMs: 65_040,
    fields: { hazard: 'gas', subject: 'coil-a', text: 'coil-a reports gas (20.2 %LFL)' },
  },
  {
    id: 'command.changed',
    atMs: 65_040,
    fields: { output: 'fan', on: true, because: ['coil-a reports gas (20.2 %LFL)', 'air must move'] },
  },
];

export function partsOf(changes: Partial<VerdictParts> = {}): VerdictParts {
  return {
    seed: 7,
    controller: 'builtin',
    host: 'virtual',
    liveOptions: [],
    rules: resultsOf(),
    expectations: [
      {
        text: 'when coil-a.gas >= setpoint, then fan within 45 s, for 5 min',
        result: 'held',
        because: [
          'coil-a.gas reached 20 %LFL at 0:01:05',
          'fan was on at 0:01:06 and stayed on for 5 min 24 s',
        ],
      },
      {
        text: 'at 15 min, then compressor.a',
        result: 'broken',
        because: ['compressor.a was off at 0:15:00'],
      },
    ],
    trouble: [],
    leftOut: [],
    notes: [],
    pollReport: null,
    drill: drillOf(),
    trace: traceOf(),
    facts: FACTS,
    ...changes,
  };
}

/** A controller that restarts in the gas. */
export function brokenVerdict(changes: Partial<VerdictParts> = {}): DrillVerdict {
  return verdictOf(partsOf(changes));
}

/** One rule, held. */
export function heldVerdict(changes: Partial<VerdictParts> = {}): DrillVerdict {
  const respond = ruleResult('respond', { result: 'held', marginS: 14.2, atMs: 66 * S, sensor: 'coil-a' });
  return verdictOf(
    partsOf({
      rules: [respond, ruleResult('fire')],
      expectations: [],
      drill: drillOf({ name: 'A coil leaks while it cools', rules: ['respond', 'fire'], expectations: [] }),
      ...changes,
    }),
  );
}

/** A controller that stopped answering; its last line would end the document, were it not escaped. */
export function hungVerdict(): DrillVerdict {
  return verdictOf(
    partsOf({
      controller: "exec:./stub.sh --name 'Tide Street'",
      rules: [],
      expectations: [],
      trouble: [
        'The controller gave no answer within 5 s.',
        'its last line: \u001b[31mpanic\u001b[0m at <state> & "hold" ]]></system-err>',
      ],
      leftOut: ['The power step at 0:02:00 was skipped: no --controller-power was given.'],
      facts: [],
    }),
  );
}

export const MADE = { at: new Date('2025-03-01T12:34:56.789Z'), version: '0.1.0', node: 'v20.20.2' };
