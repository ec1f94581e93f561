/**
 * Rooms, histories and small helpers that the tests of the gas share. Their properties end at the first
 * failure: it prints its seed, and shrinking a history of an hour takes longer than a test may.
 */
import fc from 'fast-check';
import { entryOf } from '../../../sim/gas/expm.ts';
import {
  type AirCourse,
  type AirInputs,
  type AirPlan,
  airModel,
  changeAir,
  type LayersPlan,
  massesAt,
  startAir,
  type Zone,
} from '../../../sim/gas/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';

/** LFL of RD 552/2019 IF-02; vapour density of CoolProp 8.0.0 at 25 °C, 101.325 kPa. */
export const LFL = 0.307;
export const VAPOUR = 2.1531;
export const S_PER_H = 3600;

export const STILL: AirInputs = { fanBlowing: false, cabinetKgPerS: 0, roomKgPerS: 0 };
export const BLOWING: AirInputs = { ...STILL, fanBlowing: true };

/** The demo room: 1.2 m3 cabinet, 24 m2 x 2.5 m, 2 air changes an hour, 30 m3/h leakage, 900 m3/h fan. */
export const DEMO: AirPlan = {
  cabinetM3: 1.2,
  roomM3: 60,
  leakageM3PerS: 30 / S_PER_H,
  fanM3PerS: 900 / S_PER_H,
  outsideM3PerS: 120 / S_PER_H,
  vapourKgPerM3: VAPOUR,
};

/** Flows between the layers of the demo room, taken as one of two. */
export const FLOWS_BETWEEN = {
  mixingM3PerS: 20 / S_PER_H,
  drainM3PerS: 15 / S_PER_H,
  returnFrom: 'low',
  outsideInto: 'high',
  outsideOutOf: 'high',
} as const;
/** The low layer is half a metre of the demo room. */
export const LAYERED: AirPlan = { ...DEMO, layers: { ...FLOWS_BETWEEN, lowM3: 12 } };

/** One zone: a room with nothing between it and a cabinet that nothing enters. */
export function oneZone(roomM3: number, airChangesPerH: number): AirPlan {
  const outsideM3PerS = (roomM3 * airChangesPerH) / S_PER_H;
  return { cabinetM3: 1, roomM3, leakageM3PerS: 0, fanM3PerS: 0, outsideM3PerS, vapourKgPerM3: VAPOUR };
}

export function leakInto(zone: 'cabinet' | 'room', kgPerS: number, fanBlowing = false): AirInputs {
  return zone === 'cabinet'
    ? { fanBlowing, cabinetKgPerS: kgPerS, roomKgPerS: 0 }
    : { fanBlowing, cabinetKgPerS: 0, roomKgPerS: kgPerS };
}

/** The zones that are full in a piece, by name. */
export function fullOf({ mode }: AirCourse['pieces'][number]): string {
  return mode.zones.filter((_, zone) => mode.full[zone] === true).join(' ');
}

export function zonesOf({ layers }: AirPlan): readonly Zone[] {
  return layers === undefined ? ['cabinet', 'room'] : ['cabinet', 'low', 'high'];
}

/** A change of input, and how long the air keeps it. */
export interface Phase {
  readonly inputs: AirInputs;
  readonly lastsMs: number;
}

/** The course of each phase, one after the other from moment zero, and the moment at which the last ends. */
export function play(plan: AirPlan, phases: readonly Phase[]): { courses: AirCourse[]; endMs: Ms } {
  const courses: AirCourse[] = [];
  let now = ms(0);
  let course = startAir(airModel(plan), STILL, now);
  for (const { inputs, lastsMs } of phases) {
    course = changeAir(course, inputs, now);
    courses.push(course);
    now = ms(now + lastsMs);
  }
  return { courses, endMs: now };
}

/** Gas that is neither in a zone nor outdoors though it was released, kg: what should be nothing. */
export function missingKg(course: AirCourse, now: Ms): number {
  const { cabinetKg, roomKg, outdoorsKg, releasedKg } = massesAt(course, now);
  return releasedKg - cabinetKg - roomKg - outdoorsKg;
}

const between = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
const orNone = (flow: fc.Arbitrary<number>): fc.Arbitrary<number> =>
  fc.oneof({ weight: 1, arbitrary: fc.constant(0) }, { weight: 4, arbitrary: flow });

/** From a window unit in a hall to a large one in a closet; sealed rooms and tight cabinets among them. */
export const anyPlan: fc.Arbitrary<AirPlan> = fc.record({
  cabinetM3: between(0.2, 4),
  roomM3: between(4, 300),
  leakageM3PerS: orNone(between(0.001, 0.05)),
  fanM3PerS: between(0.03, 1),
  outsideM3PerS: orNone(between(0.001, 0.5)),
  vapourKgPerM3: between(1.8, 5),
});

const anyLayer = fc.constantFrom('low', 'high');
const anyLayers: fc.Arbitrary<Omit<LayersPlan, 'lowM3'> & { readonly lowShare: number }> = fc.record({
  lowShare: between(0.05, 0.9),
  mixingM3PerS: orNone(between(0.0005, 0.05)),
  drainM3PerS: orNone(between(0.0005, 0.05)),
  returnFrom: anyLayer,
  outsideInto: anyLayer,
  outsideOutOf: anyLayer,
});

/** The same rooms, their air in two layers. */
export const anyLayeredPlan: fc.Arbitrary<AirPlan> = fc
  .tuple(anyPlan, anyLayers)
  .map(([plan, { lowShare, ...flows }]) => ({
    ...plan,
    layers: { ...flows, lowM3: lowShare * plan.roomM3 },
  }));

/** Any room with a history that fits it: one room or two layers, releases steady or falling. */
export function anyCase(kgPerSMax: number): fc.Arbitrary<{ plan: AirPlan; phases: Phase[] }> {
  return fc
    .tuple(fc.oneof(anyPlan, anyLayeredPlan), anyPhases(kgPerSMax), fc.array(anyFall, { minLength: 6 }))
    .map(([plan, phases, falls]) => ({
      plan,
      phases: phases.map((phase, index) => {
        const { roomKgPerS, cabinetKgPerS, fanBlowing } = phase.inputs;
        const { fallsPerS, share } = entryOf(falls, index);
        const room =
          plan.layers === undefined
            ? { roomKgPerS }
            : { roomKgPerS: 0, lowKgPerS: share * roomKgPerS, highKgPerS: (1 - share) * roomKgPerS };
        return { ...phase, inputs: { fanBlowing, cabinetKgPerS, ...room, fallsPerS } };
      }),
    }));
}

const anyFall = fc.record({
  fallsPerS: fc.oneof(fc.constant(0), between(1e-4, 0.5)),
  share: fc.constantFrom(0, 0.3, 1),
});

/** Releases up to kgPerSMax: 0.02 kg/s is a leak, 2 kg/s fills any of these rooms with vapour. */
export function anyPhases(kgPerSMax: number): fc.Arbitrary<Phase[]> {
  const release = orNone(between(kgPerSMax / 1000, kgPerSMax));
  const inputs = fc.record({ fanBlowing: fc.boolean(), cabinetKgPerS: release, roomKgPerS: release });
  const phase = fc.record({ inputs, lastsMs: fc.integer({ min: 1, max: 1_200_000 }) });
  return fc.array(phase, { minLength: 1, maxLength: 6 });
}
