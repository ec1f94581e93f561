/** The model against an adaptive solver that knows only the differential equations, and a plain pourer. */
import { createRequire } from 'node:module';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type AirPlan, concentrationAt, followAir, readLag, startLag } from '../../../sim/gas/index.ts';
import { kgPerM3, ms } from '../../../src/units/index.ts';
import { anyCase, anyPhases, anyPlan, type Phase, play, zonesOf } from './rooms.ts';

type Derivative = (t: number, y: readonly number[]) => number[];
interface Solver {
  solve(f: Derivative, t0: number, y0: readonly number[], t1: number): { y: number[]; outcome: number };
}
// The package ships sources that do not pass our own compiler options, so its types are written here.
const { Solver } = createRequire(import.meta.url)('odex') as { Solver: new (size: number) => Solver };
const CONVERGED = 0;
const TAU_S = 4;
const SHELTER_TAU_S = 15;

/** Cabinet, room and a sensor in the cabinet after all phases, kg/m3: odex 2.0.4 (Hairer's ODEX). */
function solved(plan: AirPlan, phases: readonly Phase[]): readonly number[] {
  let y: readonly number[] = [0, 0, 0];
  for (const { inputs, lastsMs } of phases) {
    const exchange = inputs.fanBlowing ? plan.fanM3PerS : plan.leakageM3PerS;
    const solver = new Solver(3);
    Object.assign(solver, { absoluteTolerance: 1e-10, relativeTolerance: 1e-10, maxSteps: 1_000_000 });
    const derivative: Derivative = (_t, [cabinet = 0, room = 0, sensor = 0]) => [
      (inputs.cabinetKgPerS + exchange * (room - cabinet)) / plan.cabinetM3,
      (inputs.roomKgPerS + exchange * (cabinet - room) - plan.outsideM3PerS * room) / plan.roomM3,
      (cabinet - sensor) / TAU_S,
    ];
    const result = solver.solve(derivative, 0, y, lastsMs / 1000);
    expect(result.outcome).toBe(CONVERGED);
    y = result.y;
  }
  return y;
}

/** Below 10 g/m3 the solver's own absolute tolerance is what differs. */
const SOLVER_FLOOR_KG_PER_M3 = 1e-2;

/** Cabinet and room by small even steps; whatever is too much is poured on, into the room or outdoors. */
function poured(plan: AirPlan, phases: readonly Phase[], stepsAPhase: number): readonly number[] {
  let [cabinet, room] = [0, 0];
  for (const { inputs, lastsMs } of phases) {
    const seconds = lastsMs / 1000 / stepsAPhase;
    const exchange = inputs.fanBlowing ? plan.fanM3PerS : plan.leakageM3PerS;
    for (let step = 0; step < stepsAPhase; step += 1) {
      const across = exchange * (cabinet - room);
      cabinet += ((inputs.cabinetKgPerS - across) * seconds) / plan.cabinetM3;
      room += ((inputs.roomKgPerS + across - plan.outsideM3PerS * room) * seconds) / plan.roomM3;
      const surplus = Math.max(0, cabinet - plan.vapourKgPerM3);
      cabinet -= surplus;
      room = Math.min(plan.vapourKgPerM3, room + (surplus * plan.cabinetM3) / plan.roomM3);
    }
  }
  return [cabinet, room];
}

/** The zones of a room in two layers and a sheltered sensor in the low one, written out flow by flow. */
function layeredDerivative(plan: AirPlan, { inputs }: Phase): Derivative {
  const { layers, cabinetM3, roomM3, fanM3PerS, leakageM3PerS, outsideM3PerS } = plan;
  if (layers === undefined) throw new Error('a room of one zone');
  const { fanBlowing, cabinetKgPerS, lowKgPerS = 0, highKgPerS = 0, fallsPerS = 0 } = inputs;
  const highM3 = roomM3 - layers.lowM3;
  const [fan, leakage, drain] = fanBlowing ? [fanM3PerS, 0, 0] : [0, leakageM3PerS, layers.drainM3PerS];
  const mixing = layers.mixingM3PerS + fan;
  const down = layers.returnFrom === 'high';
  return (t, [cabinet = 0, low = 0, high = 0, pocket = 0, sensor = 0]) => {
    const left = Math.exp(-fallsPerS * t);
    // Out of the layer that the fan takes its air from, through the cabinet into the other, and back.
    const byFan = down
      ? [fan * (high - cabinet), fan * (cabinet - low), fan * (low - high)]
      : [fan * (low - cabinet), fan * (high - low), fan * (cabinet - high)];
    const byDrain = [drain * (high - cabinet), drain * (cabinet - low), drain * (low - high)];
    const across = leakage * (cabinet - low);
    const upward = mixing * (low - high);
    const { outsideInto, outsideOutOf } = layers;
    const entersLow = outsideInto === 'low' ? -low : outsideOutOf === 'low' ? high - low : 0;
    const entersHigh = outsideInto === 'high' ? -high : outsideOutOf === 'high' ? low - high : 0;
    return [
      (cabinetKgPerS * left - across + (byFan[0] ?? 0) + (byDrain[0] ?? 0)) / cabinetM3,
      (lowKgPerS * left + across - upward + (byFan[1] ?? 0) + (byDrain[1] ?? 0) + outsideM3PerS * entersLow) /
        layers.lowM3,
      (highKgPerS * left + upward + (byFan[2] ?? 0) + (byDrain[2] ?? 0) + outsideM3PerS * entersHigh) /
        highM3,
      (low - pocket) / SHELTER_TAU_S,
      (pocket - sensor) / TAU_S,
    ];
  };
}

/** One room and a sheltered sensor in it; releases that fall. */
function roomDerivative(plan: AirPlan, { inputs }: Phase): Derivative {
  const { fanBlowing, cabinetKgPerS, roomKgPerS, fallsPerS = 0 } = inputs;
  const exchange = fanBlowing ? plan.fanM3PerS : plan.leakageM3PerS;
  return (t, [cabinet = 0, room = 0, pocket = 0, sensor = 0]) => {
    const left = Math.exp(-fallsPerS * t);
    return [
      (cabinetKgPerS * left + exchange * (room - cabinet)) / plan.cabinetM3,
      (roomKgPerS * left + exchange * (cabinet - room) - plan.outsideM3PerS * room) / plan.roomM3,
      (room - pocket) / SHELTER_TAU_S,
      (pocket - sensor) / TAU_S,
    ];
  };
}

function solvedBy(
  derivativeOf: (plan: AirPlan, phase: Phase) => Derivative,
  plan: AirPlan,
  phases: readonly Phase[],
): readonly number[] {
  const size = plan.layers === undefined ? 4 : 5;
  let y: readonly number[] = Array<number>(size).fill(0);
  for (const phase of phases) {
    const solver = new Solver(size);
    Object.assign(solver, { absoluteTolerance: 1e-10, relativeTolerance: 1e-10, maxSteps: 1_000_000 });
    const result = solver.solve(derivativeOf(plan, phase), 0, y, phase.lastsMs / 1000);
    expect(result.outcome).toBe(CONVERGED);
    y = result.y;
  }
  return y;
}

describe('the gas in random rooms over random histories', () => {
  test('agrees with odex to 1e-6 in layers, under releases that fall, and behind a shelter', () => {
    let layered = 0;
    fc.assert(
      fc.property(anyCase(0.02), ({ plan: drawn, phases }) => {
        const plan = { ...drawn, vapourKgPerM3: 1e6 };
        layered += plan.layers === undefined ? 0 : 1;
        const { courses, endMs } = play(plan, phases);
        const [first, ...others] = courses;
        const last = courses.at(-1);
        if (first === undefined || last === undefined) throw new Error('no phase drawn');
        const zones = zonesOf(plan);
        const start = {
          tauMs: ms(1000 * TAU_S),
          shelterTauMs: ms(1000 * SHELTER_TAU_S),
          exposure: { zone: plan.layers === undefined ? 'room' : 'low', hoseKgPerM3: null },
          response: kgPerM3(0),
        } as const;
        const lag = startLag(first, start, ms(0));
        for (const course of others) followAir(lag, course);
        const ours = [...zones.map((zone) => concentrationAt(last, zone, endMs)), readLag(lag, endMs)];
        const derivative = plan.layers === undefined ? roomDerivative : layeredDerivative;
        const theirs = solvedBy(derivative, plan, phases).toSpliced(zones.length, 1);
        for (const [index, expected] of theirs.entries()) {
          expect(Math.abs(Number(ours[index]) - expected)).toBeLessThanOrEqual(
            1e-6 * Math.max(SOLVER_FLOOR_KG_PER_M3, expected),
          );
        }
      }),
      { numRuns: 80, endOnFailure: true },
    );
    expect(layered).toBeGreaterThan(20);
  });

  test('agrees with the adaptive solver odex to 1e-6, zones and sensor', () => {
    fc.assert(
      fc.property(anyPlan, anyPhases(0.02), (drawn, phases) => {
        const plan = { ...drawn, vapourKgPerM3: 1e6 };
        const { courses, endMs } = play(plan, phases);
        const [first, ...others] = courses;
        const last = courses.at(-1);
        if (first === undefined || last === undefined) throw new Error('no phase drawn');
        const exposure = { zone: 'cabinet', hoseKgPerM3: null } as const;
        const lag = startLag(first, { tauMs: ms(1000 * TAU_S), exposure, response: kgPerM3(0) }, ms(0));
        for (const course of others) followAir(lag, course);

        const [cabinet, room, sensor] = solved(plan, phases);
        const near = (actual: number, expected = Number.NaN): void => {
          expect(Math.abs(actual - expected)).toBeLessThanOrEqual(
            1e-6 * Math.max(SOLVER_FLOOR_KG_PER_M3, expected),
          );
        };
        near(concentrationAt(last, 'cabinet', endMs), cabinet);
        near(concentrationAt(last, 'room', endMs), room);
        near(readLag(lag, endMs), sensor);
      }),
      { numRuns: 60, endOnFailure: true },
    );
  });

  test('agrees with plain pouring where zones fill with vapour, to the error of its steps', () => {
    const short = anyPhases(2).map((phases) =>
      phases.map(({ inputs, lastsMs }) => ({ inputs, lastsMs: 1 + (lastsMs % 120_000) })),
    );
    let filled = 0;
    fc.assert(
      fc.property(anyPlan, short, (plan, phases) => {
        const { courses, endMs } = play(plan, phases);
        const last = courses.at(-1);
        if (last === undefined) throw new Error('no phase drawn');
        filled += courses.some(({ pieces }) => pieces.length > 1) ? 1 : 0;
        const plain = poured(plan, phases, 20_000);
        const tolerance = 0.004 * plan.vapourKgPerM3;
        expect(Math.abs(concentrationAt(last, 'cabinet', endMs) - Number(plain[0]))).toBeLessThan(tolerance);
        expect(Math.abs(concentrationAt(last, 'room', endMs) - Number(plain[1]))).toBeLessThan(tolerance);
      }),
      { numRuns: 100, endOnFailure: true },
    );
    expect(filled).toBeGreaterThan(30);
  });
});
