import { describe, expect, it } from 'vitest';
import type { ModbusSensor } from '../../../src/rig/index.ts';
import { compileCodec } from '../../../src/sensor/index.ts';
import { coilsOf } from '../../../src/supervisor/field-io.ts';
import {
  isWriteDue,
  nextLookMs,
  nextTask,
  startSupervisor,
  taskDone,
} from '../../../src/supervisor/index.ts';
import { ms } from '../../../src/units/index.ts';
import { MINUTE, NEW_RECORD, Outside, SECOND } from './outside.ts';
import { serves, stopped } from './seen.ts';
import { rigWith } from './tiny-rig.ts';

const T = 2 * MINUTE;

function cooling(outside = new Outside()): Outside {
  outside.calls.cooling = true;
  return outside.run(T);
}

const raised = (outside: Outside, hazard: string): readonly number[] =>
  outside.facts.flatMap((fact) =>
    fact.id === 'hazard.raised' && fact.fields.hazard === hazard ? [fact.atMs] : [],
  );

/** Gas as a signed number, which can be below zero. */
function signedGas(sensor: ModbusSensor): ModbusSensor {
  const { profile } = sensor.codec;
  const { gasPercentLfl: gas } = profile.points;
  if (gas === undefined) throw new Error('a profile without gas');
  const points = { ...profile.points, gasPercentLfl: { ...gas, type: 'i16', invalid: 0x8000 } as const };
  return { ...sensor, codec: compileCodec({ ...profile, points }) };
}

describe('a number below zero', () => {
  const started = () => {
    const rig = rigWith({}, ({ sensors }) => ({
      sensors: sensors.map((one) => (one.kind === 'modbus' ? signedGas(one) : one)),
    }));
    return cooling(new Outside(rig));
  };

  it('that is a zero which has drifted is served on with', () => {
    const outside = started().say('coil-a', { gas: -0.8 });
    outside.run(T + MINUTE);
    expect(outside.facts.filter(({ id }) => id === 'hazard.raised')).toHaveLength(2);
    expect(outside.first(T, stopped)).toBe(Number.POSITIVE_INFINITY);
    expect(outside.facts).toContainEqual(
      expect.objectContaining({ fields: { sensor: 'coil-a', state: 'measuring', percentLfl: -0.8 } }),
    );
  });

  it('that no drift explains is no clean air: it stops, and lets no hold end', () => {
    const outside = started().gas('coil-a', 60);
    outside.run(T + MINUTE).gas('coil-a', -30);
    outside.run(T + 10 * MINUTE);
    expect(raised(outside, 'invalid')).toHaveLength(1);
    expect(outside.first(T + MINUTE, serves)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('reading back', () => {
  it('tells of commands that somebody else has written', () => {
    const outside = cooling();
    outside.foreignCoils.set(2, true);
    outside.run(T + 3 * SECOND);
    expect(raised(outside, 'commandsOverwritten')).toHaveLength(1);
    expect(outside.at(outside.nowMs).trouble).toBe(true);
    outside.foreignCoils.clear();
    outside.run(T + 6 * SECOND);
    expect(outside.at(outside.nowMs).trouble).toBe(false);
  });

  it('does not mind reserved coils, whatever they read', () => {
    const outside = cooling();
    for (const reserved of [5, 6, 7]) outside.foreignCoils.set(reserved, true);
    outside.run(T + MINUTE);
    expect(raised(outside, 'commandsOverwritten')).toEqual([]);
  });

  it('suspects nobody after a write of its own that was lost', () => {
    const outside = cooling();
    outside.writesArrive = false;
    outside.calls.cooling = false;
    outside.run(T + 10 * SECOND);
    expect(raised(outside, 'commandsOverwritten')).toEqual([]);
    expect(serves(outside.at(outside.nowMs))).toBe(true);
    outside.writesArrive = true;
    outside.run(T + 12 * SECOND);
    expect(serves(outside.at(outside.nowMs))).toBe(false);
  });
});

describe('commands', () => {
  it('go out for the first time as soon as the inputs are known, before any sensor is asked', () => {
    const outside = new Outside();
    expect(isWriteDue(outside.plan, outside.state)).toBe(false);
    outside.run(SECOND - 1);
    const [firstMs = Number.NaN] = outside.tries;
    expect(firstMs).toBeLessThan(outside.asked.get('coil-a')?.[0] ?? Number.NaN);
    expect(outside.tries).toHaveLength(2);
  });

  it('wait for their turn where the inputs are not heard: there may be a fire', () => {
    const outside = new Outside();
    outside.ioAnswers = false;
    outside.run(SECOND - 1);
    const [firstMs = Number.NaN] = outside.tries;
    expect(firstMs).toBeGreaterThan(outside.asked.get('coil-a')?.[0] ?? Number.NaN);
  });

  it('that are lost are tried again at once, as often as the line retries, then once a cycle', () => {
    const outside = cooling();
    outside.writesArrive = false;
    outside.calls.cooling = false;
    outside.run(T + 10 * SECOND);
    const tries = outside.tries.filter((atMs) => atMs > T);
    const { retries, timeoutMs } = outside.rig.lines[0] ?? { retries: Number.NaN, timeoutMs: Number.NaN };
    const [firstMs = Number.NaN] = tries;
    const atOnce = tries.filter((atMs) => atMs <= firstMs + retries * timeoutMs);
    expect(atOnce).toHaveLength(1 + retries);
    // A line must not be lost to a field I/O that takes nothing; that it does not is told by a second change.
    expect(tries.length).toBeLessThanOrEqual(2 * (1 + retries) + 11);
    expect(tries.length).toBeGreaterThanOrEqual(8);
  });

  it('that are lost are not tried again at once where the field I/O does not answer at all', () => {
    const outside = cooling();
    outside.ioAnswers = false;
    outside.run(T + 2 * SECOND);
    const fromMs = outside.nowMs;
    outside.gas('coil-a', 60).run(fromMs + 1500);
    expect(outside.first(fromMs, stopped)).toBe(Number.POSITIVE_INFINITY);
    expect(outside.tries.filter((atMs) => atMs > fromMs).length).toBeLessThanOrEqual(3);
  });

  it('stand at their coils, reserved ones off', () => {
    const commands = {
      fan: true,
      damper: true,
      heat: false,
      trouble: true,
      alarm: false,
      compressors: [false, true],
    };
    expect(coilsOf(commands)).toEqual([true, true, false, true, false, false, false, false, false, true]);
  });
});

describe('a silence', () => {
  it('is looked for when it is due, though nothing comes of the wire', () => {
    const outside = new Outside(rigWith({ silentAfterMs: ms(1500) })).run(MINUTE);
    outside.say('coil-a', { answers: false }).run(MINUTE + 2 * SECOND);
    const [atMs = 0] = raised(outside, 'silent');
    const askedMs = outside.asked.get('coil-a')?.find((one) => one >= MINUTE) ?? 0;
    expect(atMs - askedMs).toBe(1500);
  });

  it('is not awaited where nothing is out', () => {
    const { plan, state } = new Outside();
    expect(nextLookMs(plan, state, ms(0))).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('a line that the plan does not have', () => {
  it('is a broken invariant', () => {
    const { plan } = new Outside();
    const state = startSupervisor(plan, NEW_RECORD, ms(0));
    expect(() => nextTask(plan, state, 1, ms(0))).toThrow('no line 1');
    const poll = { askedAtMs: ms(0), doneAtMs: ms(0), outcome: { kind: 'silent' } } as const;
    expect(() => taskDone(plan, state, 1, { kind: 'inputs' }, poll)).toThrow('no line 1');
  });
});

describe('readings', () => {
  it('are told when they have moved far enough for a curve, and when they come and go', () => {
    const outside = new Outside().run(10 * SECOND);
    for (const gas of [0.4, 0.6, 0.9, 1.1, null, 1.1])
      outside.say('coil-a', { gas }).run(outside.nowMs + 2 * SECOND);
    const told = outside.facts.flatMap((fact) =>
      fact.id === 'reading.changed' && fact.fields.sensor === 'coil-a' ? [fact.fields.percentLfl] : [],
    );
    expect(told).toEqual([0, 0.6, 1.1, null, 1.1]);
  });
});
