/** Drill files: what they mean, and what a person reads who wrote one that is none. */
import { basename } from 'node:path';
import { describe, expect, test } from 'vitest';
import { loadDrill } from '../../../sim/drill/load-drill.ts';
import { RULE_IDS, RULES } from '../../../sim/judge/rules.ts';
import { drillOf, load, SMALLEST, WHOLE } from './drill-text.ts';

const MIN = 60_000;

describe('a drill file', () => {
  test('with every key means what it says', () => {
    const { rig, file, rigFile, ...drill } = drillOf(WHOLE);
    expect(rig.sensors.map(({ id }) => id)).toEqual(['coil-a', 'coil-b', 'grille']);
    expect([file, rigFile].map((path) => basename(path))).toEqual([
      'test.drill.yaml',
      'tide-street.rig.yaml',
    ]);
    expect(drill).toEqual({
      name: 'Gas lingers past the hold',
      why: expect.stringMatching(/^Gas comes back .* restarts in it\.$/u) as string,
      text: WHOLE,
      lengthMs: 25 * MIN,
      calls: { cooling: false, heating: false, fan: false },
      steps: [
        {
          atMs: 30_000,
          step: { kind: 'release', at: 'cabinet', rateKgPerS: 0.01, lastsMs: 7 * MIN },
        },
        { atMs: 90_000, step: { kind: 'call', calls: { cooling: true } } },
        {
          atMs: 6 * MIN,
          step: {
            kind: 'fault',
            in: 'coil-b',
            fault: { kind: 'silent', parameters: {}, probability: 1 },
            lastsMs: 2 * MIN,
          },
        },
        {
          atMs: 16 * MIN,
          step: { kind: 'testGas', sensor: 'coil-a', percentLfl: 40, lastsMs: 30_000 },
        },
      ],
      rules: RULE_IDS,
      expectations: [
        {
          text: 'when coil-a.gas >= setpoint, then fan, within 45 s, for 5 min',
          when: { kind: 'compare', name: 'coil-a.gas', operator: '>=', percentLfl: 20 },
          // biome-ignore lint/suspicious/noThenProperty: the word of the file format; nothing awaits it.
          then: { kind: 'signal', name: 'fan' },
          withinMs: 45_000,
          forMs: 5 * MIN,
        },
        {
          text: 'at 0:15:00, then compressor.a',
          when: { atMs: 15 * MIN },
          // biome-ignore lint/suspicious/noThenProperty: the word of the file format; nothing awaits it.
          then: { kind: 'signal', name: 'compressor.a' },
          withinMs: 0,
          forMs: 0,
        },
      ],
      lesson: null,
    });
  });

  test('may leave out what has a default: every rule, no call, no step', () => {
    expect(drillOf(SMALLEST)).toMatchObject({
      name: 'Quiet',
      why: '',
      calls: { cooling: false, heating: false, fan: false },
      steps: [],
      rules: RULE_IDS,
      expectations: [],
    });
  });

  test('may have its calls stand from the start, in any word of a switch', () => {
    expect(drillOf(`${SMALLEST}calls: { cooling: yes, fan: true }\n`).calls).toEqual({
      cooling: true,
      heating: false,
      fan: true,
    });
  });

  test('is played in order of time, steps of one moment in the order of the file', () => {
    const text = `${SMALLEST}steps:
  - { at: 2 min, fire: off }
  - { at: 1 min, call: { fan: on } }
  - { at: 0 s, serviceReset: {} }
  - { at: 1 min, call: { fan: off } }
  - { at: 10 min, mend: { in: fan } }
`;
    expect(
      drillOf(text).steps.map(({ atMs, step }) => [atMs / MIN, step.kind, 'calls' in step && step.calls]),
    ).toEqual([
      [0, 'serviceReset', false],
      [1, 'call', { fan: true }],
      [1, 'call', { fan: false }],
      [2, 'fire', false],
      [10, 'mend', false],
    ]);
  });

  test.each([
    ['all', RULE_IDS],
    ['published', RULE_IDS.filter((id) => RULES[id].tier === 'published')],
    ['[silent, respond, silent]', ['respond', 'silent']],
    ['{ except: [latch, fire] }', RULE_IDS.filter((id) => id !== 'latch' && id !== 'fire')],
  ])('may ask for the rules %s', (written, ids) => {
    expect(drillOf(`${SMALLEST}rules: ${written}\n`).rules).toEqual(ids);
  });

  test('may ask for no rule where it expects something itself', () => {
    expect(drillOf(`${SMALLEST}rules: []\nexpect: [{ at: 0 s, then: not fan }]\n`).rules).toEqual([]);
  });

  test('may fold a long condition over lines: its text is told in one', () => {
    const text = `${SMALLEST}expect:
  - when: >
      fan and
      not fire
    then: airflow
    within: 1.25 s
`;
    expect(drillOf(text).expectations[0]?.text).toBe('when fan and not fire, then airflow, within 1.25 s');
  });

  test('lasts up to 31 days', () => {
    expect(drillOf(SMALLEST.replace('10 min', '31 days')).lengthMs).toBe(31 * 24 * 60 * MIN);
  });

  test('passes the warnings of its rig on', () => {
    const rig = `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors: [{ id: coil-a, at: cabinet, unitId: 11 }]
policy: { setpoint: 30 %LFL }
`;
    const { drill, warnings } = load(SMALLEST.replace('tide-street', 'own'), { 'own.rig.yaml': rig });
    expect(drill?.rig.policy.setpoint).toBe(30);
    expect(warnings).toEqual([
      expect.stringMatching(
        /^own\.rig\.yaml:6:21: policy\.setpoint: 30 %LFL is above the published 25 %LFL/u,
      ),
    ]);
  });
});

/** What is written behind SMALLEST, or SMALLEST with a part of it replaced, and what is said. */
const RATE = 'needs its unit, such as "4 g/s" (units it takes: g/s, g/min, kg/s, kg/h, kg/min, lb/min, lb/h)';
const TIMES = 'units it takes: s, ms, min, h, days, years';
const TREE = 'takes all, published, a list such as [respond, silent], or { except: [latch] }';

describe('a drill file is refused', () => {
  test.each([
    [
      'steps: [{ at: 11 min, fire: on }]',
      '5:15: steps[0].at: 11 min is after the end of the drill, 10 min; write less, or a greater length',
    ],
    [
      'steps: [{ fire: on }]',
      `5:9: steps[0].at: is missing; it takes a number and a unit, such as "1 s" (${TIMES})`,
    ],
    ['steps: [{ at: 60, fire: on }]', `5:15: steps[0].at: 60 needs its unit, such as "60 s" (${TIMES})`],
    ['steps: [{ at: -1 s, fire: on }]', '5:15: steps[0].at: cannot be negative'],
    ['steps: [{ at: 1 s, fyre: on }]', '5:20: steps[0]: "fyre" is not known here; did you mean "fire"?'],
    [
      'steps: [{ at: 1 s }]',
      '5:9: steps[0]: a step takes exactly one of release, testGas, fault, mend, call, power, serviceReset, fire',
    ],
    ['steps: [{ at: 1 s, release: { at: cabinet, rate: 4 } }]', `5:50: steps[0].release.rate: 4 ${RATE}`],
    [
      'steps: [{ at: 1 s, fault: { in: coil-c, kind: silent } }]',
      '5:33: steps[0].fault.in: there is no "coil-c"; did you mean "coil-a"?',
    ],
    [
      'steps: [{ at: 1 s, fault: { in: coil-a, kind: silent, last: 2 s } }]',
      '5:55: steps[0].fault: "last" is not known here; did you mean "lasts"?',
    ],
    [
      'steps: [{ at: 1 s, testGas: { at: coil-a, level: 800 %LFL } }]',
      '5:50: steps[0].testGas.level: takes less; pure R-32 vapour is 701 %LFL',
    ],
    ['steps: [fire]', '5:9: steps[0]: takes a map of keys and values'],
    ['rules: [respnd]', '5:9: rules[0]: there is no rule "respnd"; did you mean "respond"?'],
    ['rules: { except: [lach] }', '5:19: rules.except[0]: there is no rule "lach"; did you mean "latch"?'],
    ['rules: [7]', '5:9: rules[0]: takes the name of a rule, such as respond'],
    ['rules: some', `5:8: rules: ${TREE}`],
    ['rules: []', '5:8: rules: leaves nothing to judge; name a rule, or expect something'],
    ['calls: { cooling: maybe }', '5:19: calls.cooling: takes on or off'],
    ['calls: { coolng: on }', '5:10: calls: "coolng" is not known here; did you mean "cooling"?'],
    ['stepps: []', '5:1: "stepps" is not known here; did you mean "steps"?'],
    ['expect: [{ then: fan }]', '5:10: expect[0]: takes either when, a condition, or at, a time'],
    [
      'expect: [{ when: fan, at: 1 s, then: fan }]',
      '5:10: expect[0]: takes either when, a condition, or at, a time',
    ],
    [
      'expect: [{ when: fan }]',
      '5:10: expect[0].then: is missing; it takes a condition, such as fan or coil-a.gas >= setpoint',
    ],
    [
      'expect: [{ at: 1 s, then: true }]',
      '5:27: expect[0].then: takes a condition, such as fan or coil-a.gas >= setpoint',
    ],
    [
      'expect: [{ at: 1 s, then: " " }]',
      '5:27: expect[0].then: takes a condition, such as fan or coil-a.gas >= setpoint',
    ],
    [
      'expect: [{ at: 11 min, then: fan }]',
      '5:16: expect[0].at: 11 min is after the end of the drill, 10 min; write less, or a greater length',
    ],
    [
      'expect: [{ when: fire, then: fan, for: 11 min }]',
      '5:40: expect[0].for: 11 min from 0:00:00 on ends after the end of the drill, 10 min; write less, or a greater length',
    ],
    [
      'expect: [{ at: 9 min, then: fan, for: 2 min }]',
      '5:39: expect[0].for: 2 min from 0:09:00 on ends after the end of the drill, 10 min; write less, or a greater length',
    ],
    [
      'expect: [{ when: fire, then: fan, within: 5 }]',
      `5:43: expect[0].within: 5 needs its unit, such as "5 s" (${TIMES})`,
    ],
  ])('%s', (line, problem) => {
    expect(load(`${SMALLEST}${line}\n`).problems).toEqual([problem]);
  });

  test.each([
    ['drill: 1', 'drill: 2', '1:8: drill: takes 1, a bare number: the version of the file format'],
    ['name: Quiet', 'name: ""', '2:7: name: takes a text that names the drill'],
    ['name: Quiet\n', '', '1:1: name: is missing; it takes a text that names the drill'],
    ['10 min', '32 days', '4:9: length: takes at most 31 days'],
    ['10 min', '0 s', '4:9: length: must be more than zero'],
    ['10 min', '10', `4:9: length: 10 needs its unit, such as "10 s" (${TIMES})`],
    [
      'length: 10 min\n',
      '',
      `1:1: length: is missing; it takes a number and a unit, such as "1 s" (${TIMES})`,
    ],
    [
      'rig: tide-street.rig.yaml\n',
      '',
      '1:1: rig: is missing; it takes the path of a rig file, from this file',
    ],
  ])('with %j replaced by %j', (part, by, problem) => {
    expect(load(SMALLEST.replace(part, by)).problems).toEqual([problem]);
  });

  test('with the problems of its rig at their own places', () => {
    const text = SMALLEST.replace('tide-street', 'own');
    const unusable = '3:6: rig: "own.rig.yaml" cannot be used; its own problems follow';
    expect(load(text).problems).toEqual([unusable, 'own.rig.yaml:1:1: does not exist; check the path']);
    const rig =
      'rig: 1\nrefrigerant: R-32\ncharge: 4.2 kg\nroom: { floor: 24 m2, height: 2.5 m }\nsensors: []\n';
    expect(load(text, { 'own.rig.yaml': rig }).problems).toEqual([
      unusable,
      'own.rig.yaml:5:10: sensors: needs at least one sensor',
    ]);
  });

  test('where it does not exist', () => {
    expect(loadDrill('nowhere.drill.yaml')).toMatchObject({
      ok: false,
      problems: [
        { file: 'nowhere.drill.yaml', line: 1, column: 1, message: 'does not exist; check the path' },
      ],
    });
  });

  test('with every problem at once, in the order of the file', () => {
    const { problems } = load(`${SMALLEST}steps:
  - { at: 12 min, fire: on }
  - { at: 1 s, mend: { in: nobody } }
expect:
  - { when: nothing, then: never }
`);
    expect(problems.map((one) => one.replace(/: [^:]*$/u, ''))).toEqual([
      '6:11: steps[0].at',
      '7:28: steps[1].mend.in',
      '9:13: expect[0].when',
      '9:28: expect[0].then',
    ]);
  });
});

describe('a mistake inside a condition is told at its own column', () => {
  const HATE = 'there is no signal "hate"; did you mean "heat"?';
  test.each([
    ['written plainly', 'fan and hate', 35],
    ['in single quotes', "'fan and hate'", 36],
    ['in double quotes', '"fan and hate"', 36],
    ['with a line break in it, at its start', '"fan and\\nhate"', 27],
    ['after an anchor', '&it fan and hate', 39],
  ])('%s', (_, written, column) => {
    expect(load(`${SMALLEST}expect: [{ at: 1 s, then: ${written} }]\n`).problems).toEqual([
      `5:${column}: expect[0].then: ${HATE}`,
    ]);
  });

  test('folded over lines, at its start', () => {
    const text = `${SMALLEST}expect:\n  - at: 1 s\n    then: fan and\n      hate\n`;
    expect(load(text).problems).toEqual([`7:11: expect[0].then: ${HATE}`]);
  });
});
