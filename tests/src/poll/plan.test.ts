import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type LinePlan, nextTurn, startLine, turnDone } from '../../../src/poll/index.ts';
import { ms } from '../../../src/units/index.ts';
import { type Done, driveLine, HEARD, SECOND, taskName } from './line-driver.ts';

const PLAN: LinePlan = {
  id: 'main',
  pollEveryMs: SECOND,
  retries: 2,
  sensors: [0, 1, 2],
  fieldIo: true,
};

const names = (done: readonly Done[]): readonly string[] => done.map((one) => taskName(one.task));

describe('one cycle', () => {
  it('asks the inputs, then the sensors, then reads the commands back and writes them', () => {
    const done = driveLine(PLAN, { untilMs: 999, takesMs: () => 10 });
    expect(names(done)).toEqual(['inputs', 'sensor 0', 'sensor 1', 'sensor 2', 'readBack', 'write']);
  });

  it('asks sensors alone on a line without the field I/O', () => {
    const done = driveLine({ ...PLAN, fieldIo: false }, { untilMs: 999, takesMs: () => 10 });
    expect(names(done)).toEqual(['sensor 0', 'sensor 1', 'sensor 2']);
  });

  it('asks whoever is known to be silent last, and a silent field I/O after the living', () => {
    const done = driveLine(PLAN, {
      untilMs: 999,
      takesMs: () => 10,
      silence: { sensor: (index) => index === 0, fieldIo: true },
    });
    expect(names(done)).toEqual(['sensor 1', 'sensor 2', 'inputs', 'readBack', 'write', 'sensor 0']);
  });

  it('begins at once, and the next one a period after', () => {
    const done = driveLine(PLAN, { untilMs: 2999, takesMs: () => 0 });
    expect(done.filter((one) => one.task.kind === 'inputs').map((one) => one.atMs)).toEqual([0, 1000, 2000]);
  });

  it('waits on a line with nothing to ask', () => {
    const empty = { ...PLAN, sensors: [], fieldIo: false };
    const state = startLine(empty, ms(500));
    expect(nextTurn(empty, state, HEARD, true, ms(500))).toEqual({ kind: 'wait', untilMs: 1500 });
    expect(nextTurn(empty, state, HEARD, true, ms(1500))).toEqual({ kind: 'wait', untilMs: 2500 });
  });
});

describe('commands that changed', () => {
  it('go out before anything else', () => {
    let state = startLine(PLAN, ms(0));
    const inputs = nextTurn(PLAN, state, HEARD, false, ms(0));
    if (inputs.kind !== 'do') throw new Error('nothing to do');
    state = turnDone(inputs.state, true);
    const write = nextTurn(PLAN, state, HEARD, true, ms(1));
    expect(write).toMatchObject({ kind: 'do', task: { kind: 'write' } });
    if (write.kind !== 'do') throw new Error('nothing to do');
    const after = nextTurn(PLAN, turnDone(write.state, true), HEARD, false, ms(2));
    expect(after).toMatchObject({ kind: 'do', task: { kind: 'sensor', sensor: 0 } });
  });

  it('go out between two cycles too', () => {
    const done = driveLine(PLAN, { untilMs: 900, takesMs: () => 0, writeNow: (now) => now === 500 });
    expect(done.filter((one) => one.task.kind === 'write').map((one) => one.atMs)).toEqual([0, 500]);
  });

  it('do not keep a line busy that has no field I/O', () => {
    const done = driveLine(
      { ...PLAN, fieldIo: false },
      { untilMs: 999, takesMs: () => 10, writeNow: () => true },
    );
    expect(names(done)).toEqual(['sensor 0', 'sensor 1', 'sensor 2']);
  });
});

describe('tries', () => {
  it('retries the living, never the dead', () => {
    const done = driveLine(PLAN, {
      untilMs: 999,
      takesMs: () => 10,
      silence: { sensor: (index) => index === 2, fieldIo: false },
      answers: () => false,
    });
    const living = ['inputs', 'sensor 0', 'sensor 1'];
    expect(names(done)).toEqual([...living, 'readBack', 'write', 'sensor 2', ...living, ...living]);
  });

  it('take no turn of the dead, of whom one is asked first, the others last', () => {
    const done = driveLine(
      { ...PLAN, fieldIo: false, retries: 1 },
      {
        untilMs: 999,
        takesMs: () => 10,
        silence: { sensor: (index) => index > 0, fieldIo: false },
        answers: () => false,
      },
    );
    expect(names(done)).toEqual(['sensor 0', 'sensor 1', 'sensor 0', 'sensor 2']);
  });

  it('never keep the dead waiting where they fill more than the period', () => {
    const done = driveLine(
      { ...PLAN, sensors: [0] },
      {
        untilMs: 6999,
        takesMs: () => 400,
        silence: { sensor: () => true, fieldIo: false },
        answers: () => false,
      },
    );
    expect(names(done).slice(0, 8)).toEqual([
      ...['inputs', 'readBack', 'write', 'sensor 0'],
      ...['inputs', 'readBack', 'write', 'sensor 0'],
    ]);
  });

  it('of the dead are as many as the period has room for, one at least, in turn', () => {
    const done = driveLine(
      { ...PLAN, sensors: [0, 1, 2, 3, 4, 5], fieldIo: false },
      {
        untilMs: 2999,
        takesMs: () => 400,
        silence: { sensor: (index) => index > 0, fieldIo: false },
      },
    );
    expect(names(done)).toEqual([
      ...['sensor 0', 'sensor 1', 'sensor 2'],
      // The first cycle took 1200 ms, so this one has room for one alone.
      ...['sensor 0', 'sensor 3'],
      ...['sensor 0', 'sensor 4', 'sensor 5'],
    ]);
  });

  it('are forgotten with their cycle: whoever is due then is asked anyway', () => {
    const done = driveLine(
      { ...PLAN, sensors: [] },
      { untilMs: 2999, takesMs: () => 500, answers: (name) => name !== 'inputs' },
    );
    const cycle = ['inputs', 'readBack', 'write', 'inputs'];
    expect(names(done)).toEqual([...cycle, ...cycle].slice(0, 6));
  });

  it('never keep the inputs waiting for longer than one round and a try, whoever dies', () => {
    const sensors = [0, 1, 2, 3, 4, 5];
    const asked = new Set<string>();
    const done = driveLine(
      { ...PLAN, sensors },
      {
        untilMs: 20_000,
        takesMs: (task) => (task.kind === 'sensor' ? 300 : 5),
        silence: { sensor: (index) => asked.has(`sensor ${index}`), fieldIo: false },
        answers: (name) => {
          asked.add(name);
          return !name.startsWith('sensor');
        },
      },
    );
    const inputs = done.filter(({ task }) => task.kind === 'inputs').map(({ atMs }) => atMs);
    const gaps = inputs.slice(1).map((atMs, index) => atMs - (inputs[index] ?? 0));
    expect(Math.max(...gaps)).toBeLessThanOrEqual(sensors.length * 300 + 300 + 15);
    const last = sensors.map((sensor) => done.findLast(({ task }) => taskName(task) === `sensor ${sensor}`));
    expect(Math.min(...last.map((one) => one?.atMs ?? 0))).toBeGreaterThan(17_000);
  });

  it('ends with the first answer', () => {
    let tries = 0;
    const done = driveLine(
      { ...PLAN, fieldIo: false, sensors: [7] },
      {
        untilMs: 999,
        takesMs: () => 10,
        answers: () => {
          tries += 1;
          return tries === 2;
        },
      },
    );
    expect(names(done)).toEqual(['sensor 7', 'sensor 7']);
  });

  it('takes no end of a turn that never began', () => {
    expect(() => turnDone(startLine(PLAN, ms(0)), true)).toThrow('a turn ended that never began');
  });
});

describe('laws over any line', () => {
  const line = fc.record({
    sensors: fc.uniqueArray(fc.nat(40), { maxLength: 8 }),
    fieldIo: fc.boolean(),
    retries: fc.nat(3),
    pollEveryMs: fc.integer({ min: 1, max: 3000 }).map(ms),
  });
  const dead = fc.func(fc.boolean());

  it('asks everybody exactly once a cycle, whoever is silent', () => {
    fc.assert(
      fc.property(line, dead, fc.boolean(), (parts, isDead, deadIo) => {
        const plan = { ...PLAN, ...parts };
        const silence = { sensor: (index: number) => isDead(index), fieldIo: deadIo };
        const done = driveLine(plan, { untilMs: plan.pollEveryMs - 1, takesMs: () => 0, silence });
        const due = [
          ...plan.sensors.map((sensor) => `sensor ${sensor}`),
          ...(plan.fieldIo ? ['inputs', 'readBack', 'write'] : []),
        ];
        expect([...names(done)].sort()).toEqual([...due].sort());
      }),
    );
  });

  it('asks every living sensor before any dead one, and gives the living alone a second try', () => {
    fc.assert(
      fc.property(line, dead, fc.func(fc.boolean()), (parts, isDead, answers) => {
        const plan = { ...PLAN, ...parts };
        const silence = { sensor: (index: number) => isDead(index), fieldIo: false };
        const done = driveLine(plan, { untilMs: plan.pollEveryMs - 1, takesMs: () => 0, silence, answers });
        const asked = done.flatMap(({ task }) => (task.kind === 'sensor' ? [task.sensor] : []));
        const firsts = [...new Set(asked)].map((sensor) => isDead(sensor));
        expect(firsts.lastIndexOf(false)).toBeLessThan(
          firsts.includes(true) ? firsts.indexOf(true) : Number.POSITIVE_INFINITY,
        );
        const tries = new Map<number, number>();
        for (const { task } of done)
          if (task.kind === 'sensor') tries.set(task.sensor, (tries.get(task.sensor) ?? 0) + 1);
        for (const [sensor, count] of tries)
          expect(count).toBeLessThanOrEqual(isDead(sensor) ? 1 : plan.retries + 1);
      }),
    );
  });

  it('begins the next cycle at once after an overrun, and never two at a time', () => {
    const slow = fc.record({ takesMs: fc.integer({ min: 1, max: 900 }), pollEveryMs: fc.constant(SECOND) });
    fc.assert(
      fc.property(slow, ({ takesMs, pollEveryMs }) => {
        const plan = { ...PLAN, pollEveryMs };
        const done = driveLine(plan, { untilMs: 30_000, takesMs: () => takesMs });
        const perCycle = plan.sensors.length + 3;
        const starts = done.flatMap((one, index) => (index % perCycle === 0 ? [one] : []));
        starts.slice(1).forEach((start, index) => {
          const endedMs = (done[(index + 1) * perCycle - 1]?.atMs ?? 0) + takesMs;
          const startedMs = starts[index]?.atMs ?? 0;
          expect(start.atMs).toBe(Math.max(endedMs, startedMs + pollEveryMs));
        });
      }),
    );
  });

  it('keeps the phase of its period however late a cycle begins within it', () => {
    const lateness = fc.array(fc.nat(999), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(lateness, (late) => {
        let state = startLine(PLAN, ms(0));
        late.forEach((lateMs, cycle) => {
          const now = ms(cycle * SECOND + lateMs);
          for (;;) {
            const next = nextTurn(PLAN, state, HEARD, false, now);
            if (next.kind === 'wait') {
              expect(next.untilMs).toBe((cycle + 1) * SECOND);
              break;
            }
            state = turnDone(next.state, true);
          }
        });
      }),
    );
  });

  it('gives up the phase rather than hurry after a whole period was lost', () => {
    let state = startLine(PLAN, ms(0));
    const next = nextTurn(PLAN, state, HEARD, false, ms(1700));
    if (next.kind !== 'do') throw new Error('nothing to do');
    state = next.state;
    expect(state.cycleStartMs).toBe(1700);
  });
});
