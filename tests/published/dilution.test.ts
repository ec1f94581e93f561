/** Dilution of a room: closed forms and published tables, against the gas of the bench. */
import { expect, test } from 'vitest';
import {
  type AirCourse,
  airModel,
  changeAir,
  concentrationAt,
  firstCrossing,
  startAir,
} from '../../sim/gas/index.ts';
import { amount, shown } from '../../src/figures/index.ts';
import { inUnit } from '../../src/refrigerant/index.ts';
import { type Ms, ms, parseQuantity } from '../../src/units/index.ts';
import { BLOWING, DEMO, LFL, leakInto, oneZone, STILL } from '../sim/gas/rooms.ts';

const HOUR_MS = 3_600_000;

function crossing(course: AirCourse, level: number, direction: 'up' | 'down', from: Ms): Ms | undefined {
  return firstCrossing(course, 'room', level, direction, { from, to: ms(from + 10 * HOUR_MS) });
}

test.each([
  [1, 138, 276, 414],
  [2, 69, 138, 207],
  [4, 35, 69, 104],
  [6, 23, 46, 69],
  [8, 17, 35, 52],
  [10, 14, 28, 41],
  [12, 12, 23, 35],
  [15, 9, 18, 28],
  [20, 7, 14, 21],
  [50, 3, 6, 8],
])(
  'figure-check 4.1 (CDC 2003 Table B.1 and MMWR 1994 Table S3-1, minutes to 90, 99 and 99.9 %%; seen): a room of %i air changes an hour is purged',
  (airChanges, ...minutes) => {
    const filling = startAir(airModel(oneZone(30, airChanges)), leakInto('room', 0.05), ms(0));
    const purge = changeAir(filling, STILL, ms(60_000));
    const before = concentrationAt(purge, 'room', ms(60_000));
    for (const [power, printed] of minutes.entries()) {
      const down = Number(crossing(purge, before * 10 ** -(power + 1), 'down', ms(60_000)));
      const closed = ((power + 1) * Math.LN10 * 60) / airChanges;
      expect(Math.abs((down - 60_000) / 60_000 - closed)).toBeLessThan(2e-5);
      expect(Math.round((down - 60_000) / 60_000)).toBe(printed);
    }
  },
);

test('figure-check 4.1 (the same tables without their rounding, of which a reprint has 3 for 32 min at 13 air changes; computed): 23.026, 46.052, 69.078 min at 6', () => {
  const minutesTo = (airChanges: number, left: number): number => {
    const filling = startAir(airModel(oneZone(30, airChanges)), leakInto('room', 0.05), ms(0));
    const purge = changeAir(filling, STILL, ms(60_000));
    const level = left * concentrationAt(purge, 'room', ms(60_000));
    return (Number(crossing(purge, level, 'down', ms(60_000))) - 60_000) / 60_000;
  };
  expect([0.1, 0.01, 0.001].map((left) => minutesTo(6, left).toFixed(3))).toEqual([
    '23.026',
    '46.052',
    '69.078',
  ]);
  expect(Math.round(minutesTo(13, 0.001))).toBe(32);
});

test('figure-check 4.2 (tracer decay, a published example of industrial hygiene; seen): a half-life of 1.4 h in 20 m3 is 9.9 m3/h', () => {
  const airflow = 9.9;
  const filling = startAir(airModel(oneZone(20, airflow / 20)), leakInto('room', 0.001), ms(0));
  const decay = changeAir(filling, STILL, ms(60_000));
  const half = 0.5 * concentrationAt(decay, 'room', ms(60_000));
  const hours = (Number(crossing(decay, half, 'down', ms(60_000))) - 60_000) / HOUR_MS;
  expect(hours.toFixed(2)).toBe('1.40');
  expect(((Math.LN2 * 20) / hours).toFixed(1)).toBe('9.9');
});

test.each([
  [1, 286.1, 0.05],
  [5, 1430, 5],
])(
  'figure-check 4.3 (Q = 403e6 SG ER K/(MW C), formula sheet of the University of Toledo, seen; inputs of a handbook example, memory; computed): with a mixing factor of %d it is %d cfm',
  (mixing, printed, lastDigit) => {
    const [gravity, pintsPerH, molarMass, ppm] = [1.326, 1.5, 133.4, 350];
    const cfm = (403e6 * gravity * (pintsPerH / 60) * mixing) / (molarMass * ppm);
    expect(Math.abs(cfm - printed)).toBeLessThanOrEqual(lastDigit);
    // The bench's own room at that airflow: a US pint is 0.473176 l of water of 0.998 kg/l; 403 is of 70 °F.
    const kgPerS = (pintsPerH * 0.473176 * 0.998 * gravity) / 3600;
    const effectiveM3PerH = Number(parseQuantity(`${cfm / mixing} cfm`, 'airflow')) * 3600;
    const course = startAir(airModel(oneZone(30, effectiveM3PerH / 30)), leakInto('room', kgPerS), ms(0));
    const steady = concentrationAt(course, 'room', ms(10 * HOUR_MS));
    const fluid = { lflKgPerM3: 1, molarMassGPerMol: molarMass };
    const found = inUnit(steady, 'ppm', fluid, { celsius: (70 - 32) / 1.8, kPa: 101.325 });
    expect(Math.abs(found / ppm - 1)).toBeLessThan(0.005);
    expect(shown(amount(effectiveM3PerH, 'airflow'), 'ip').value).toBeCloseTo(cfm / mixing, 9);
  },
);

test.each([
  { airChanges: 0, end: 0.133333, percent: 43.431, rises: 138.15, falls: null },
  { airChanges: 2, end: 0.124827, percent: 40.66, rises: 143.739, falls: 875.471 },
  { airChanges: 10, end: 0.097317, percent: 31.699, rises: 174.277, falls: 85.47 },
])(
  'figure-check 4.4 (closed forms of the well-mixed zone; computed): 4 kg of R-32 in 240 s into 30 m3 at $airChanges air changes',
  ({ airChanges, end, percent, rises, falls }) => {
    const leak = 4 / 240;
    const outside = (30 * airChanges) / 3600;
    const during = startAir(airModel(oneZone(30, airChanges)), leakInto('room', leak), ms(0));
    const after = changeAir(during, STILL, ms(240_000));

    const gas = concentrationAt(after, 'room', ms(240_000));
    const closed = outside === 0 ? (leak * 240) / 30 : (leak / outside) * -Math.expm1((-outside * 240) / 30);
    expect(Math.abs(gas - closed)).toBeLessThan(1e-9);
    expect(gas).toBeCloseTo(end, 6);
    expect((100 * gas) / LFL).toBeCloseTo(percent, 3);

    const up = crossing(during, 0.25 * LFL, 'up', ms(0));
    expect(Math.abs(Number(up) / 1000 - rises)).toBeLessThanOrEqual(0.0015);
    const down = crossing(after, 0.25 * LFL, 'down', ms(240_000));
    if (falls === null) expect(down).toBeUndefined();
    else expect(Math.abs((Number(down) - 240_000) / 1000 - falls)).toBeLessThanOrEqual(0.0015);
  },
);

test('figure-check 4.5 (2 kg in closed 50 m3; computed): mixed by the fan it is 13.029 %LFL, 18 811 ppm, and must not alarm', () => {
  const model = airModel({ ...DEMO, cabinetM3: 1.2, roomM3: 48.8, outsideM3PerS: 0 });
  const leak = startAir(model, leakInto('cabinet', 0.01), ms(0));
  const mixed = changeAir(leak, BLOWING, ms(200_000));
  for (const zone of ['cabinet', 'room'] as const) {
    const gas = concentrationAt(mixed, zone, ms(HOUR_MS));
    expect(gas).toBeCloseTo(0.04, 12);
    expect((100 * gas) / LFL).toBeCloseTo(13.029, 3);
    const fluid = { lflKgPerM3: LFL, molarMassGPerMol: 52.024 };
    expect(Math.round(inUnit(gas, 'ppm', fluid))).toBe(18_811);
    const window = { from: ms(HOUR_MS), to: ms(2 * HOUR_MS) };
    expect(firstCrossing(mixed, zone, 0.2 * LFL, 'up', window)).toBeUndefined();
  }
});
