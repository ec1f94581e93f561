/** The sample controller, cycle by cycle. */
import { describe, expect, test } from 'vitest';
import { decide, type Kept, type Memory, powerUp } from '../../../sim/controllers/minimal-controller.ts';
import type { Commands, Cycle, Plan, Told } from '../../../sim/controllers/plan.ts';

const PLAN: Plan = {
  policy: {
    setpointPercentLfl: 20,
    clearBelowPercentLfl: 18,
    holdMs: 60_000,
    silentAfterMs: 5000,
    fanProofWithinMs: 10_000,
    compressorMinOffMs: 30_000,
    latchTrips: 2,
    latchWithinMs: 600_000,
  },
  sensors: [
    { id: 'coil', kind: 'modbus', serial: '1' },
    { id: 'grille', kind: 'contact', contact: 'opens-on-gas' },
  ],
  circuits: ['a'],
};

const clean = (t: number): Told => ({
  answered: true,
  state: 'measuring',
  gasPercentLfl: 0,
  gasBit: false,
  selfTestPassed: true,
  counter: t / 1000,
  serial: '1',
});

interface Seen extends Partial<Omit<Cycle, 't' | 'sensors'>> {
  readonly coil?: Partial<Told>;
  readonly open?: boolean;
}

/** A controller in a rig that calls for cooling and heating and has air; one cycle a second. */
class Run {
  t = 0;
  memory: Memory;
  commands: Commands | null = null;

  constructor(kept: Kept | null = null, plan = PLAN) {
    this.memory = powerUp(plan, kept);
  }

  /** Cycles for so many seconds; answers the commands of the last. */
  go(seconds: number, { coil, open = false, ...plant }: Seen = {}): Commands {
    for (let cycle = 0; cycle < seconds; cycle += 1) {
      const sensors = {
        coil: { ...clean(this.t), ...coil },
        grille: { answered: true, closed: !open },
      };
      const calls = { cooling: true, heating: true, fan: false };
      const rest = { calls, airflowProven: true, serviceReset: false, fire: false, ...plant };
      const decision = decide(this.memory, { t: this.t, sensors, ...rest });
      this.memory = decision.memory;
      this.commands = decision.commands;
      this.t += 1000;
    }
    if (this.commands === null) throw new Error('no cycle');
    return this.commands;
  }
}

const OFF = { heat: false, compressors: { a: false } };
const ON = { heat: true, compressors: { a: true } };
const MITIGATION = { ...OFF, fan: true, damper: true };

describe('a call', () => {
  test('is served as soon as every sensor has passed, and air is proven', () => {
    const run = new Run();
    expect(run.go(3, { coil: { state: 'warming-up', selfTestPassed: false } })).toMatchObject(OFF);
    expect(run.go(1, { airflowProven: false })).toMatchObject({ ...OFF, fan: true });
    expect(run.go(1)).toMatchObject(ON);
  });

  test('goes on through a moment without air, and stops when air stays away', () => {
    const run = new Run();
    run.go(5);
    expect(run.go(10, { airflowProven: false })).toMatchObject({ ...ON, trouble: false });
    expect(run.go(1, { airflowProven: false })).toMatchObject({ ...OFF, fan: true, trouble: true });
  });

  test('that flickers finds the compressor resting', () => {
    const run = new Run();
    run.go(5);
    run.go(1, { calls: { cooling: false, heating: false, fan: false } });
    expect(run.go(29)).toMatchObject({ heat: true, compressors: { a: false } });
    expect(run.go(1)).toMatchObject(ON);
  });

  test('goes on while an answer is lost now and then', () => {
    const run = new Run();
    run.go(5);
    for (let round = 0; round < 5; round += 1) {
      expect(run.go(4, { coil: { answered: false } })).toMatchObject(ON);
      run.go(1);
    }
  });
});

describe('mitigation begins in the cycle that sees', () => {
  test.each<[string, Seen, 'alarm' | 'trouble']>([
    ['the state of gas', { coil: { state: 'gas' } }, 'alarm'],
    ['the gas bit', { coil: { gasBit: true } }, 'alarm'],
    ['a number at the setpoint', { coil: { gasPercentLfl: 20 } }, 'alarm'],
    ['the contact open', { open: true }, 'alarm'],
    ['a failure', { coil: { state: 'failed' } }, 'trouble'],
    ['no number', { coil: { gasPercentLfl: null } }, 'trouble'],
    ['another serial', { coil: { serial: '2' } }, 'trouble'],
  ])('%s', (_, seen, lamp) => {
    const run = new Run();
    run.go(5);
    expect(run.go(1, seen)).toMatchObject({
      ...MITIGATION,
      alarm: lamp === 'alarm',
      trouble: lamp === 'trouble',
    });
  });

  test.each<[string, Seen]>([
    ['no answer', { coil: { answered: false } }],
    ['a counter at rest', { coil: { counter: 5 } }],
    ['warming up anew', { coil: { state: 'warming-up', selfTestPassed: false } }],
  ])('%s for silentAfter', (_, seen) => {
    const run = new Run();
    run.go(5);
    expect(run.go(5, seen).trouble).toBe(false);
    expect(run.go(1, seen)).toMatchObject({ ...MITIGATION, trouble: true });
  });
});

describe('mitigation', () => {
  test('for a sensor that was silent at power-up lasts until it has passed, not until it warms up', () => {
    const run = new Run();
    run.go(10, { coil: { answered: false } });
    const warm = { state: 'warming-up', selfTestPassed: false } as const;
    expect(run.go(4, { coil: warm })).toMatchObject({ ...MITIGATION, trouble: true });
    expect(run.go(60)).toMatchObject({ ...MITIGATION, trouble: false });
    expect(run.go(1)).toMatchObject(ON);
  });

  test('ends when the hold has passed since the first cycle in which all was well', () => {
    const run = new Run();
    run.go(5);
    run.go(100, { coil: { state: 'gas' } });
    expect(run.go(60)).toMatchObject(MITIGATION);
    expect(run.go(1)).toMatchObject(ON);
  });

  test('lasts while the number stays between the two levels', () => {
    const run = new Run();
    run.go(5);
    run.go(1, { coil: { state: 'gas' } });
    expect(run.go(200, { coil: { gasPercentLfl: 18 } })).toMatchObject({ ...MITIGATION, alarm: true });
    expect(run.go(60, { coil: { gasPercentLfl: 17.9 } })).toMatchObject({ ...MITIGATION, alarm: false });
    expect(run.go(1)).toMatchObject(ON);
  });

  test('does not count time without air', () => {
    const run = new Run();
    run.go(5);
    run.go(1, { open: true });
    run.go(40);
    run.go(1, { airflowProven: false });
    expect(run.go(60)).toMatchObject(MITIGATION);
    expect(run.go(1)).toMatchObject(ON);
  });

  test('outlives a power cut, whose hold begins anew', () => {
    const before = new Run();
    before.go(5);
    before.go(1, { open: true });
    before.go(30);
    const after = new Run(before.memory.kept);
    expect(after.go(60)).toMatchObject(MITIGATION);
    expect(after.go(1)).toMatchObject(ON);
  });

  test('gives way to fire, which takes the fan too, and is there again after it', () => {
    const run = new Run();
    run.go(5);
    run.go(1, { open: true });
    expect(run.go(1, { fire: true })).toMatchObject({ ...OFF, fan: false });
    expect(run.go(1)).toMatchObject(MITIGATION);
  });
});

describe('the lock-out', () => {
  const locked = (): Run => {
    const run = new Run();
    for (let trip = 0; trip < 2; trip += 1) {
      run.go(10);
      run.go(1, { open: true });
      run.go(70);
    }
    return run;
  };

  test('comes with the last of so many trips, and stays', () => {
    expect(locked().go(500)).toMatchObject(MITIGATION);
  });

  test('ends at a press, and forgets what it counted', () => {
    const run = locked();
    expect(run.go(1, { serviceReset: true })).toMatchObject(ON);
    run.go(1, { open: true });
    run.go(60);
    expect(run.go(1)).toMatchObject(ON);
  });

  test('does not end at a press in gas, nor at the same press once the gas has gone', () => {
    const run = locked();
    run.go(1, { open: true, serviceReset: true });
    run.go(100, { serviceReset: true });
    expect(run.go(1)).toMatchObject(MITIGATION);
  });

  test('outlives a power cut, after which a button that is down already is no press', () => {
    const run = new Run(locked().memory.kept);
    run.go(100, { serviceReset: true });
    expect(run.go(1)).toMatchObject(MITIGATION);
    expect(run.go(1, { serviceReset: true })).toMatchObject(ON);
  });

  test('does not come where trips are too far apart', () => {
    const run = new Run();
    run.go(1, { open: true });
    run.go(700);
    run.go(1, { open: true });
    run.go(60);
    expect(run.go(1)).toMatchObject(ON);
  });
});

test('a compressor that may have run before a cut counts as just off', () => {
  const run = new Run({ mitigating: false, counted: false, tripsAtMs: [], lockedOut: false });
  expect(run.go(30)).toMatchObject({ heat: true, compressors: { a: false } });
  expect(run.go(1)).toMatchObject(ON);
});
