/**
 * A process that is stopped for an hour, and lines that nobody asks on any more: what happens meanwhile is
 * unknown, so no hold runs on through it and nothing serves on after it. Time jumps; the core does the rest.
 */
import { expect, test } from 'vitest';
import type { Task } from '../../../src/poll/index.ts';
import { lookAgain, taskDone } from '../../../src/supervisor/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { MINUTE, Outside, SECOND } from './outside.ts';
import { mitigates, serves } from './seen.ts';
import { onTwoLines, rigWith } from './tiny-rig.ts';

const HOUR = 60 * MINUTE;
const HOLD = 5 * MINUTE;

/** Nobody looks and nobody asks until then. */
function stopFor(outside: Outside, forMs: number): Outside {
  outside.nowMs = ms(outside.nowMs + forMs);
  return outside;
}

function cooling(outside: Outside): Outside {
  outside.calls.cooling = true;
  return outside.run(2 * MINUTE);
}

test('what was running is mitigated at once, for a whole hold', () => {
  const outside = cooling(new Outside());
  expect(serves(outside.at(outside.nowMs))).toBe(true);
  const backMs = stopFor(outside, HOUR).nowMs;
  outside.run(backMs + HOUR);
  expect(outside.first(backMs, mitigates)).toBeLessThanOrEqual(backMs + SECOND);
  const served = outside.first(backMs + SECOND, serves);
  expect(served).toBeGreaterThanOrEqual(backMs + HOLD);
  expect(served).toBeLessThanOrEqual(backMs + HOLD + 2 * MINUTE);
});

test.each([
  ['at its beginning', 20 * SECOND],
  ['near its end', HOLD - 2 * SECOND],
])('a hold begins anew, stopped %s', (_, ranMs) => {
  const outside = cooling(new Outside());
  outside
    .gas('coil-b', 40)
    .run(3 * MINUTE)
    .gas('coil-b', 0)
    .run(3 * MINUTE + ranMs);
  const backMs = stopFor(outside, HOUR).nowMs;
  outside.run(backMs + HOUR);
  expect(outside.first(backMs, serves)).toBeGreaterThanOrEqual(backMs + HOLD);
  expect(outside.first(backMs, serves)).toBeLessThan(Number.POSITIVE_INFINITY);
});

test('an answer that lay in its socket meanwhile shows nothing of now', () => {
  const one = rigWith({}, ({ sensors }) => ({ sensors: sensors.filter(({ id }) => id === 'coil-a') }));
  const { plan, state, nowMs } = cooling(new Outside(one));
  const task: Task = { kind: 'inputs' };
  const inputs = Uint8Array.from({ length: 18 }, (_, input) => Number(input === 0 || input === 3));
  const out = {
    ...state,
    lines: state.lines.map((line) => ({ ...line, out: { task, tries: 0, triesMax: 1 } })),
  };
  const poll = {
    askedAtMs: nowMs,
    doneAtMs: ms(nowMs + HOUR),
    outcome: { kind: 'answered', answer: [inputs] },
  } as const;
  const { state: after, facts } = taskDone(plan, out, 0, task, poll);
  expect(after.mitigation.phase.kind).toBe('mitigating');
  const raised = facts.flatMap((fact) => (fact.id === 'hazard.raised' ? [fact.fields.hazard] : []));
  expect(raised).toContain('fieldIoSilent');
});

test('a fresh answer does not hide that there was none for an hour', () => {
  const one = rigWith({}, ({ sensors }) => ({ sensors: sensors.filter(({ id }) => id === 'coil-a') }));
  const outside = cooling(new Outside(one));
  const { plan, state } = outside;
  const laterMs = stopFor(outside, HOUR).nowMs;
  const answer = outside.answerTo('coil-a');
  const plant = { ...state.plant, last: state.plant.last && { ...state.plant.last, atMs: laterMs } };
  const out = { task: { kind: 'sensor', sensor: 0 }, tries: 0, triesMax: 1 } as const;
  const lines = state.lines.map((line) => ({ ...line, out }));
  const poll = { askedAtMs: laterMs, doneAtMs: laterMs, outcome: { kind: 'answered', answer } } as const;
  const { state: after } = taskDone(plan, { ...state, plant, lines }, 0, out.task, poll);
  expect(after.mitigation.phase).toEqual({
    kind: 'holding',
    sinceMs: laterMs,
    hold: { ranMs: 0, runningSinceMs: laterMs },
  });
});

test('a line on which nobody asks any more is found out, though the other goes on', () => {
  const outside = cooling(new Outside(onTwoLines(ms(1000))));
  const { plan } = outside;
  let { state } = outside;
  const hung = plan.sensors.findIndex(({ id }) => id === 'coil-b');
  const heardMs = state.beliefs[hung]?.lastGood?.atMs ?? ms(0);
  const look = (atMs: Ms): string => {
    // Everything but what hangs on the second line has just been heard.
    const beliefs = state.beliefs.map((belief, index) =>
      index === hung || belief.lastGood === null
        ? belief
        : { ...belief, lastGood: { ...belief.lastGood, atMs }, counterMovedAtMs: atMs },
    );
    const plant = { ...state.plant, last: state.plant.last && { ...state.plant.last, atMs } };
    state = lookAgain(plan, { ...state, beliefs, plant }, atMs).state;
    return state.mitigation.phase.kind;
  };
  const { unheardAfterMs } = plan.limits;
  expect(look(ms(heardMs + unheardAfterMs - 1))).toBe('running');
  expect(look(ms(heardMs + unheardAfterMs))).toBe('mitigating');
});

test('a hold does not run on proof of airflow that nobody has asked for since', () => {
  const outside = cooling(new Outside(onTwoLines(ms(1000))));
  outside
    .gas('coil-b', 40)
    .run(3 * MINUTE)
    .gas('coil-b', 0)
    .run(4 * MINUTE);
  const { plan, state, nowMs } = outside;
  const heardMs = state.plant.last?.atMs ?? ms(0);
  const laterMs = ms(nowMs + HOUR);
  const beliefs = state.beliefs.map((belief) =>
    belief.lastGood === null
      ? belief
      : { ...belief, lastGood: { ...belief.lastGood, atMs: laterMs }, counterMovedAtMs: laterMs },
  );
  const { phase } = lookAgain(plan, { ...state, beliefs }, laterMs).state.mitigation;
  // The contact hangs on the field I/O, so its silence begins the hold anew; without one the clock stops.
  expect(phase.kind).toBe('mitigating');
  const contactless = { ...plan, sensors: plan.sensors.filter(({ kind }) => kind === 'modbus') };
  const held = lookAgain(contactless, { ...state, beliefs }, laterMs).state.mitigation.phase;
  if (held.kind !== 'holding') throw new Error(`no hold: ${held.kind}`);
  expect(held.hold.runningSinceMs).toBeNull();
  expect(held.hold.ranMs).toBeLessThanOrEqual(heardMs - 3 * MINUTE);
});
