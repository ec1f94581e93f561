/** A room in two layers: closed forms of its balances, and what spills where. */
import { describe, expect, test } from 'vitest';
import {
  type AirInputs,
  type AirPlan,
  airModel,
  changeAir,
  concentrationAt,
  firstCrossing,
  inputsAt,
  massesAt,
  startAir,
  type Zone,
} from '../../../sim/gas/index.ts';
import { ms } from '../../../src/units/index.ts';
import { BLOWING, DEMO, FLOWS_BETWEEN, fullOf, LAYERED, missingKg, S_PER_H, STILL, VAPOUR } from './rooms.ts';

const HOUR_MS = 3_600_000;
const REST = ms(4000 * HOUR_MS);
const SEALED = { ...DEMO, leakageM3PerS: 0, outsideM3PerS: 0 };
const NO_FLOWS = { ...FLOWS_BETWEEN, mixingM3PerS: 0, drainM3PerS: 0, lowM3: 12 };

const at = (plan: AirPlan, inputs: Partial<AirInputs>, now = REST): ((zone: Zone) => number) => {
  const course = startAir(airModel(plan), { ...STILL, ...inputs }, ms(0));
  return (zone) => concentrationAt(course, zone, now);
};

describe('layers with the fan off', () => {
  test('settle where each balance is even: G/Qo above, G/mixing and G/leakage between (textbook)', () => {
    const layers = { ...FLOWS_BETWEEN, drainM3PerS: 0, lowM3: 12 };
    const gas = at({ ...DEMO, layers }, { cabinetKgPerS: 0.002 });
    const high = 0.002 / DEMO.outsideM3PerS;
    const low = high + 0.002 / layers.mixingM3PerS;
    expect(gas('high')).toBeCloseTo(high, 9);
    expect(gas('low')).toBeCloseTo(low, 9);
    expect(gas('cabinet')).toBeCloseTo(low + 0.002 / DEMO.leakageM3PerS, 9);
  });

  test('the drain alone empties the cabinet at e^(-D t / V), into the low layer', () => {
    const layers = { ...NO_FLOWS, drainM3PerS: 0.004 };
    const plan = { ...SEALED, layers };
    const leak = startAir(airModel(plan), { ...STILL, cabinetKgPerS: 0.006 }, ms(0));
    const over = changeAir(leak, STILL, ms(10_000));
    const full = concentrationAt(over, 'cabinet', ms(10_000));
    // What the high layer sends back within a second is a millionth of it.
    const left = concentrationAt(over, 'cabinet', ms(11_000)) / full;
    expect(Math.abs(left - Math.exp(-0.004 / plan.cabinetM3))).toBeLessThan(1e-6);
    const gained = concentrationAt(over, 'low', ms(11_000)) - concentrationAt(over, 'low', ms(10_000));
    expect(gained).toBeGreaterThan(0.99 * ((full * (1 - left) * plan.cabinetM3) / layers.lowM3));
    expect(Math.abs(missingKg(over, ms(11_000)))).toBeLessThan(1e-12);
  });

  test('a sealed low layer fills as G t / V, and the high one stays clean', () => {
    const gas = at({ ...SEALED, layers: NO_FLOWS }, { lowKgPerS: 0.003 }, ms(600_000));
    expect(gas('low')).toBeCloseTo((0.003 * 600) / 12, 12);
    expect(gas('high')).toBe(0);
    expect(gas('cabinet')).toBe(0);
  });

  test('with a fast exchange between them are one room', () => {
    const layers = { ...NO_FLOWS, mixingM3PerS: 1000 };
    const two = at({ ...DEMO, layers }, { cabinetKgPerS: 0.006 }, ms(300_000));
    const one = at(DEMO, { cabinetKgPerS: 0.006 }, ms(300_000));
    expect(Math.abs(two('low') / one('room') - 1)).toBeLessThan(1e-3);
    expect(Math.abs(two('high') / one('room') - 1)).toBeLessThan(1e-3);
  });

  test('hold the gas low: a leak that one room hides is many times as strong at the floor', () => {
    const two = at(LAYERED, { cabinetKgPerS: 0.006 }, ms(600_000));
    const one = at(DEMO, { cabinetKgPerS: 0.006 }, ms(600_000));
    expect(two('low')).toBeGreaterThan(2 * one('room'));
    expect(two('high')).toBeLessThan(one('room'));
  });
});

describe('outside air', () => {
  const clean = (outsideInto: 'low' | 'high', outsideOutOf: 'low' | 'high'): ((zone: Zone) => number) =>
    at(
      { ...DEMO, leakageM3PerS: 0, layers: { ...NO_FLOWS, outsideInto, outsideOutOf } },
      { lowKgPerS: 0.0002, highKgPerS: 0.0001 },
      ms(20 * HOUR_MS),
    );

  test('dilutes the layer that it comes into and leaves from, that one alone', () => {
    expect(clean('high', 'high')('high')).toBeCloseTo(0.0001 / DEMO.outsideM3PerS, 9);
    expect(clean('high', 'high')('low')).toBeCloseTo((0.0002 * 20 * S_PER_H) / 12, 9);
    expect(clean('low', 'low')('low')).toBeCloseTo(0.0002 / DEMO.outsideM3PerS, 9);
  });

  test('sweeps one layer and then the other where it comes in above and leaves below, or the other way', () => {
    const down = clean('high', 'low');
    expect(down('high')).toBeCloseTo(0.0001 / DEMO.outsideM3PerS, 9);
    expect(down('low')).toBeCloseTo(0.0003 / DEMO.outsideM3PerS, 9);
    const up = clean('low', 'high');
    expect(up('low')).toBeCloseTo(0.0002 / DEMO.outsideM3PerS, 9);
    expect(up('high')).toBeCloseTo(0.0003 / DEMO.outsideM3PerS, 9);
  });
});

describe('layers with the fan on', () => {
  test('mix within minutes, and settle a G/Qf apart along the way of its air', () => {
    const layers = { ...FLOWS_BETWEEN, mixingM3PerS: 0, lowM3: 12 };
    const gas = at({ ...DEMO, layers }, { ...BLOWING, cabinetKgPerS: 0.006 });
    const perFan = 0.006 / DEMO.fanM3PerS;
    const high = 0.006 / DEMO.outsideM3PerS;
    expect(gas('high')).toBeCloseTo(high, 9);
    // The layers exchange 2 Qf downward and Qf upward: 2 Qf (Ch - Cl) = Qf (Ch - Cl), so they are even.
    expect(gas('low')).toBeCloseTo(high, 9);
    expect(gas('cabinet')).toBeCloseTo(high + perFan, 9);
  });

  test('are even after five minutes, however they lay before', () => {
    const lying = startAir(airModel(LAYERED), { ...STILL, lowKgPerS: 0.006 }, ms(0));
    const before = (zone: Zone): number => concentrationAt(lying, zone, ms(300_000));
    expect(before('low')).toBeGreaterThan(5 * before('high'));
    const blown = changeAir(lying, BLOWING, ms(300_000));
    const after = (zone: Zone): number => concentrationAt(blown, zone, ms(600_000));
    expect(Math.abs(after('low') / after('high') - 1)).toBeLessThan(0.02);
  });

  test('the return air comes from the layer that is named', () => {
    const from = (returnFrom: 'low' | 'high'): ((zone: Zone) => number) =>
      at(
        { ...LAYERED, layers: { ...FLOWS_BETWEEN, lowM3: 12, returnFrom } },
        {
          ...BLOWING,
          lowKgPerS: 0.006,
        },
        ms(5000),
      );
    expect(from('low')('cabinet')).toBeGreaterThan(3 * from('high')('cabinet'));
  });
});

describe('pure vapour in layers', () => {
  test('spills from the cabinet into the low layer, from there into the high one, and then outdoors', () => {
    const plan = { ...SEALED, layers: NO_FLOWS };
    const course = startAir(airModel(plan), { ...STILL, cabinetKgPerS: 0.1 }, ms(0));
    expect(course.pieces.map(fullOf)).toEqual(['', 'cabinet', 'cabinet low', 'cabinet low high']);
    const instants = course.pieces.map(({ firstMs, leadMs }) => firstMs - leadMs);
    const fillS = (m3: number): number => (m3 * VAPOUR) / 0.1;
    for (const [index, m3] of [0, 1.2, 13.2, 61.2].entries()) {
      expect(instants[index]).toBeCloseTo(1000 * fillS(m3), 5);
    }
    const masses = massesAt(course, ms(2_000_000));
    expect(masses.outdoorsKg).toBeCloseTo(0.1 * (2000 - fillS(61.2)), 9);
    expect(masses.roomKg).toBeCloseTo(60 * VAPOUR, 9);
  });

  test('ends as a falling release no longer keeps up with what flows away', () => {
    const inputs = { ...STILL, cabinetKgPerS: 0.1, fallsPerS: 0.01 };
    const course = startAir(airModel(LAYERED), inputs, ms(0));
    expect(course.pieces.map(fullOf)).toEqual(['', 'cabinet', '']);
    const [, full, over] = course.pieces;
    expect(concentrationAt(course, 'cabinet', ms(Number(full?.firstMs)))).toBe(VAPOUR);
    const turn = Number(over?.firstMs) - Number(over?.leadMs);
    const leaves = DEMO.leakageM3PerS * (VAPOUR - Number(over?.start[1]));
    const drains = FLOWS_BETWEEN.drainM3PerS * (VAPOUR - Number(over?.start[2]));
    expect(0.1 * Math.exp((-0.01 * turn) / 1000)).toBeCloseTo(leaves + drains, 9);
    expect(Math.abs(missingKg(course, REST))).toBeLessThan(1e-9 * 10);
  });

  test('is left everywhere as the release ends, however the shares of what flows in add up', () => {
    const plan = { ...DEMO, leakageM3PerS: 0, outsideM3PerS: 0.0145 };
    const layers = { ...FLOWS_BETWEEN, mixingM3PerS: 0.0312, drainM3PerS: 0.0012, lowM3: 0.35 };
    for (let turn = 1; turn <= 50; turn += 1) {
      const drainM3PerS = layers.drainM3PerS * turn;
      const model = airModel({ ...plan, layers: { ...layers, drainM3PerS, outsideOutOf: 'low' } });
      const flood = startAir(model, { ...STILL, cabinetKgPerS: 2 }, ms(0));
      expect(flood.pieces.map(fullOf).at(-1)).toBe('cabinet low high');
      expect(changeAir(flood, STILL, ms(HOUR_MS)).pieces.map(fullOf)).toEqual(['']);
    }
  });

  test('of a zone that nothing flows into does not end, though its release falls', () => {
    const course = startAir(
      airModel({ ...SEALED, layers: NO_FLOWS }),
      {
        ...STILL,
        cabinetKgPerS: 0.1,
        fallsPerS: 0.001,
      },
      ms(0),
    );
    expect(course.pieces.map(fullOf)).toEqual(['', 'cabinet', 'cabinet low']);
    expect(concentrationAt(course, 'cabinet', REST)).toBe(VAPOUR);
  });
});

describe('a release', () => {
  test('that falls gives G/k (1 - e^(-k t)) in a sealed zone, and is what it has fallen to after a change', () => {
    const plan = { ...SEALED, layers: NO_FLOWS };
    const course = startAir(airModel(plan), { ...STILL, highKgPerS: 0.02, fallsPerS: 0.01 }, ms(0));
    const closed = (seconds: number): number => (0.02 * -Math.expm1(-0.01 * seconds)) / 0.01;
    expect(massesAt(course, ms(90_000)).releasedKg).toBeCloseTo(closed(90), 12);
    expect(concentrationAt(course, 'high', ms(90_000))).toBeCloseTo(closed(90) / 48, 12);
    const level = closed(40) / 48;
    const found = firstCrossing(course, 'high', level, 'up', { from: ms(0), to: REST });
    expect(Math.abs(Number(found) - 40_000)).toBeLessThanOrEqual(1);
    const never = closed(Number.POSITIVE_INFINITY) / 48;
    expect(
      firstCrossing(course, 'high', never * (1 + 1e-9), 'up', { from: ms(0), to: REST }),
    ).toBeUndefined();
  });

  test('that falls has fallen to e^(-k t) of itself for whoever changes another input', () => {
    const course = startAir(airModel(LAYERED), { ...STILL, lowKgPerS: 0.02, fallsPerS: 0.01 }, ms(0));
    const then = inputsAt(course, ms(100_000));
    expect(then.lowKgPerS).toBeCloseTo(0.02 * Math.exp(-1), 15);
    const blown = changeAir(course, { ...then, fanBlowing: true }, ms(100_000));
    const whole = (0.02 * -Math.expm1(-3)) / 0.01;
    expect(massesAt(blown, ms(300_000)).releasedKg).toBeCloseTo(whole, 12);
    expect(Math.abs(missingKg(blown, ms(300_000)))).toBeLessThan(1e-12);
    const steady = startAir(airModel(DEMO), STILL, ms(0));
    expect(inputsAt(steady, ms(5))).toBe(steady.inputs);
  });

  test('into a zone that the room does not have is refused', () => {
    expect(() => startAir(airModel(DEMO), { ...STILL, lowKgPerS: 0.001 }, ms(0))).toThrow(RangeError);
    expect(() => startAir(airModel(LAYERED), { ...STILL, roomKgPerS: 0.001 }, ms(0))).toThrow(RangeError);
    expect(() => startAir(airModel(DEMO), { ...STILL, fallsPerS: -1 }, ms(0))).toThrow(RangeError);
    const course = startAir(airModel(LAYERED), STILL, ms(0));
    expect(() => concentrationAt(course, 'room', ms(0))).toThrow('no room among cabinet, low, high');
  });
});
