/** The model against an adaptive solver that knows only the differential equations, and a plain pourer. */
import { createRequire } from 'node:module';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type AirPlan, concentrationAt, followAir, readLag, startLag } from '../../../sim/gas/index.ts';
import { kgPerM3, ms } from '../../../src/units/index.ts';
import { anyPhases, anyPlan, type Phase, play } from './rooms.ts';

type Derivative = (t: number, y: readonly number[]) => number[];
interface Solver {
  solve(f: Derivative, t0: number, y0: readonly number[], t1: number): { y: number[]; outcome: number };
}
// The package ships sources that do not pass our own compiler options, so its types are written here.
const { Solver } = createRequire(import.meta.url)('odex') as { Solver: new (size: number) => Solver };
const CONVERGED = 0;
const TAU_S = 4;

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

describe('the gas in random rooms over random histories', () => {
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
