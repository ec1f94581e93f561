/** Nothing is said against a controller that asks as it should, at any moment and whatever its sensors do. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readStep } from '../../../sim/drill/step.ts';
import { PollFold } from '../../../sim/poll-report/index.ts';
import { applyStep } from '../../../sim/world/index.ts';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { Asking, BOTH, COIL_A, COIL_B, command, IO, read, rightCycle, rigWithCoilB } from './asking.ts';

describe('a right controller', () => {
  test('hears nothing after any of its requests', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      rightCycle(asking);
      expect(asking.said()).toEqual([]);
    });
    expect(asking.report()).toMatchObject({ requests: 200, sinceMs: 0 });
  });

  test.each([50, 200, 1000, 3000, 4900])('hears nothing with a cycle of %d ms', (everyMs) => {
    const asking = new Asking();
    expect(
      asking
        .cycles(60, everyMs, () => {
          rightCycle(asking);
        })
        .said(),
    ).toEqual([]);
  });

  test('hears nothing where it reads the state often and all of it seldom', () => {
    const asking = new Asking();
    asking.cycles(120, 500, (turn) => {
      const pdu = turn % 10 === 0 ? read(4, 0, 19) : read(4, 0, 5);
      rightCycle(asking, [
        [COIL_A, pdu],
        [COIL_B, pdu],
      ]);
    });
    expect(asking.said()).toEqual([]);
  });

  test('hears nothing where it wants status and gas alone', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [
        [COIL_A, read(4, 1, 2)],
        [COIL_B, read(4, 1, 2)],
      ]);
    });
    expect(asking.said()).toEqual([]);
  });

  test('hears nothing where it reads holding registers too, writes one coil at a time, and reads them back', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      asking.ask(IO, read(2, 0, 26));
      for (const unit of [COIL_A, COIL_B]) {
        asking.ask(unit, read(4, 0, 19));
        asking.ask(unit, read(3, 0, 3));
      }
      for (const coil of [0, 1, 2, 3, 4, 8, 9]) asking.ask(IO, [5, 0, coil, 0, 0]);
      asking.ask(IO, read(1, 0, 10));
    });
    expect(asking.said()).toEqual([]);
  });

  test('hears nothing where it looks once who else is on the bus', () => {
    const asking = new Asking();
    asking.cycles(10, 1000, () => {
      rightCycle(asking);
    });
    asking.timeoutMs = 20;
    for (let unit = 1; unit <= 247; unit += 1) {
      asking.ask(unit, read(4, 0, 1));
      if (unit % 20 === 0) rightCycle(asking);
    }
    asking.timeoutMs = 300;
    asking.cycles(10, 1000, () => {
      rightCycle(asking);
    });
    expect(asking.said()).toEqual([]);
  });

  test.each(['holding-floats', 'bits-and-counts'])('hears nothing with a sensor of profile %s', (profile) => {
    const rig = rigWithCoilB({ profile });
    const coilB = rig.sensors.find(({ id }) => id === 'coil-b');
    if (coilB?.kind !== 'modbus') throw new Error('no coil-b');
    const reads = coilB.codec.reads.map(({ table, address, quantity }) => {
      const code = { discrete: 2, coil: 1, input: 4, holding: 3 }[table];
      return [COIL_B, read(code, address, quantity)] as const;
    });
    const asking = new Asking(rig);
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [[COIL_A, read(4, 0, 19)], ...reads]);
    });
    expect(asking.said()).toEqual([]);
  });

  test('hears nothing for what faults of the wire and of a sensor make of its answers', () => {
    for (const kind of ['silent', 'lossy', 'late', 'exception', 'garbage', 'same-address', 'short-frame']) {
      const asking = new Asking();
      asking.cycles(10, 1000, () => {
        rightCycle(asking);
      });
      const parameters = kind === 'lossy' ? { probability: 0.3 } : kind === 'late' ? { by: '200 ms' } : {};
      const read = readStep({ fault: { in: 'coil-b', kind, ...parameters } }, asking.rig);
      if (!read.ok) throw new Error(read.problem);
      expect(applyStep(asking.world, read.step, ms(asking.nowMs))).toBeNull();
      asking.cycles(60, 1000, () => {
        rightCycle(asking);
      });
      expect(asking.said(), kind).toEqual([]);
    }
  });

  test('hears nothing for answers that a fault holds back past its time-out, and that it asks for again', () => {
    const asking = new Asking();
    const read = readStep({ fault: { in: 'coil-b', kind: 'late', by: '800 ms' } }, asking.rig);
    if (!read.ok) throw new Error(read.problem);
    asking.cycles(10, 2000, () => {
      rightCycle(asking);
    });
    applyStep(asking.world, read.step, ms(asking.nowMs));
    asking.cycles(20, 2000, () => {
      rightCycle(asking, [...BOTH, ...BOTH.slice(1)]);
    });
    expect(asking.said()).toEqual([]);
    expect(asking.report().lines[0]?.units[1]?.outrun).toMatchObject({ askedAgain: 0, byFault: 40 });
  });

  test('hears nothing for a power cut of its own, nor for leaving', () => {
    const asking = new Asking();
    asking.cycles(20, 1000, () => {
      rightCycle(asking);
    });
    for (const power of [{ cut: 'stays' }, { restored: true }]) {
      const read = readStep({ power: { to: 'controller', ...power } }, asking.rig);
      if (!read.ok) throw new Error(read.problem);
      applyStep(asking.world, read.step, ms(asking.nowMs));
      asking.nowMs += 60_000;
    }
    asking.cycles(20, 1000, () => {
      rightCycle(asking);
    });
    asking.nowMs += 600_000;
    expect(asking.said()).toEqual([]);
  });

  test('hears nothing more than that nobody has asked, before it has asked anything', () => {
    const asking = new Asking();
    asking.nowMs = 600_000;
    expect(asking.report()).toMatchObject({ requests: 0, sinceMs: null });
    expect(asking.said()).toEqual(['nobody-asks']);
    expect(asking.text('nobody-asks')).toContain('Nobody has asked anything yet.');
  });

  test('hears nothing with a jitter of a third of its cycle', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 300 }), { minLength: 60, maxLength: 60 }), (late) => {
        const asking = new Asking();
        asking.cycles(60, 1000, (turn) => {
          asking.nowMs += late[turn] ?? 0;
          asking.ask(IO, read(2, 0, 26));
          for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
          command(asking);
        });
        expect(asking.said()).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });
});

test('the built-in supervisor hears nothing, whatever falls silent', () => {
  const rig = demoRig();
  const fold = new PollFold(rig);
  const bench = new VirtualBench(rig, { seed: 3, observe: fold.observe, tell: () => undefined });
  for (const [second, written] of [
    [30, { call: { cooling: 'on' } }],
    [60, { fault: { in: 'coil-b', kind: 'silent', lasts: '2 min' } }],
    [240, { fault: { in: 'coil-a', kind: 'lossy', probability: 0.3, lasts: '2 min' } }],
    [400, { power: { to: 'rig', cut: '30 s' } }],
    [500, { fault: { in: 'fieldIo', kind: 'io-silent', lasts: '20 s' } }],
  ] as const) {
    bench.runUntil(ms(second * 1000));
    const read = readStep(written, rig);
    if (!read.ok) throw new Error(read.problem);
    expect(bench.apply(read.step)).toBeNull();
    expect(fold.report(second * 1000).advice).toEqual([]);
  }
  bench.runUntil(ms(900_000));
  expect(fold.report(900_000).advice).toEqual([]);
});
