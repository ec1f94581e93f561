/**
 * Who gives air to whom: the zones of a rig's air, and the flows between them.
 *
 * Every zone is well mixed (textbook). As much air flows into a zone as out of it, whichever way the fan
 * stands; that is what keeps every concentration between clean air and the richest of its neighbours.
 *
 * One room: an exchange with the cabinet (leakage, or the fan's airflow while it blows), and outside air.
 *
 * A room of two layers is a modelling choice, made to be linear; nothing in it is measured:
 * - still: the leakage is exchanged with the low layer. Besides, vapour heavier than air runs out of the
 *   bottom of the cabinet (drain) into the low layer, as much air rises from the low layer into the high one,
 *   and as much comes into the cabinet from there. Its flow is constant, though in truth it grows with the
 *   gas in the cabinet. Between the layers there is a slow exchange (mixing).
 * - blowing: the fan takes its air from one layer and blows it into the other, whence it flows back; its jet
 *   carries along as much room air again, so that an exchange of the fan's airflow comes to the mixing.
 * - outside air enters one layer, and as much leaves out of one.
 */

/** Vapour spills over from the cabinet into the room, there from low to high, and then outdoors. */
export type Zone = 'cabinet' | 'room' | Layer;
export type Layer = 'low' | 'high';

/** The rig's air; every number finite, volumes and vapour density positive, flows not negative. */
export interface AirPlan {
  readonly cabinetM3: number;
  readonly roomM3: number;
  /** Exchange between cabinet and room while the fan stands still. */
  readonly leakageM3PerS: number;
  /** Exchange while it blows, in place of the leakage. */
  readonly fanM3PerS: number;
  /** Fresh air in, and as much room air out. */
  readonly outsideM3PerS: number;
  /** Density of the pure vapour. */
  readonly vapourKgPerM3: number;
  /** Left out: one well-mixed room. */
  readonly layers?: LayersPlan;
}

export interface LayersPlan {
  /** Of the room's volume. */
  readonly lowM3: number;
  /** Exchange between the layers while the fan stands still. */
  readonly mixingM3PerS: number;
  readonly drainM3PerS: number;
  /** The layer whose air the fan takes. */
  readonly returnFrom: Layer;
  readonly outsideInto: Layer;
  readonly outsideOutOf: Layer;
}

/** Zones by their place in the order above; the number behind the last zone is outdoors. */
export interface Flow {
  readonly from: number;
  readonly to: number;
  readonly m3PerS: number;
}

export interface Zones {
  readonly names: readonly Zone[];
  readonly m3: readonly number[];
}

const CABINET = 0;
/** Of one room. */
const ROOM = 1;
const LAYERS: Readonly<Record<Layer, number>> = { low: 1, high: 2 };

/** Throws RangeError on a plan that no rig can have. */
export function zonesOf(plan: AirPlan): Zones {
  const { cabinetM3, roomM3, leakageM3PerS, fanM3PerS, outsideM3PerS, vapourKgPerM3, layers } = plan;
  const m3 = layers === undefined ? [cabinetM3, roomM3] : [cabinetM3, layers.lowM3, roomM3 - layers.lowM3];
  const sizes = [...m3, vapourKgPerM3];
  const flows = [leakageM3PerS, fanM3PerS, outsideM3PerS];
  if (layers !== undefined) flows.push(layers.mixingM3PerS, layers.drainM3PerS);
  if (![...sizes, ...flows].every(Number.isFinite) || Math.min(...sizes) <= 0 || Math.min(...flows) < 0) {
    throw new RangeError(`zonesOf: ${JSON.stringify(plan)}`);
  }
  return { names: layers === undefined ? ['cabinet', 'room'] : ['cabinet', 'low', 'high'], m3 };
}

export function flowsOf(plan: AirPlan, fanBlowing: boolean): readonly Flow[] {
  const { leakageM3PerS, fanM3PerS, outsideM3PerS, layers } = plan;
  if (layers === undefined) {
    return [
      ...exchange(CABINET, ROOM, fanBlowing ? fanM3PerS : leakageM3PerS),
      ...exchange(ROOM, ROOM + 1, outsideM3PerS),
    ];
  }
  const { outsideInto, outsideOutOf } = layers;
  return [
    ...(fanBlowing ? blown(layers, fanM3PerS) : still(layers, leakageM3PerS)),
    ...round(LAYERS.high + 1, LAYERS[outsideInto], LAYERS[outsideOutOf], outsideM3PerS),
  ];
}

function still({ drainM3PerS, mixingM3PerS }: LayersPlan, leakageM3PerS: number): readonly Flow[] {
  return [
    ...exchange(CABINET, LAYERS.low, leakageM3PerS),
    ...round(CABINET, LAYERS.low, LAYERS.high, drainM3PerS),
    ...exchange(LAYERS.low, LAYERS.high, mixingM3PerS),
  ];
}

function blown({ returnFrom, mixingM3PerS }: LayersPlan, fanM3PerS: number): readonly Flow[] {
  const other = returnFrom === 'low' ? 'high' : 'low';
  return [
    ...round(LAYERS[returnFrom], CABINET, LAYERS[other], fanM3PerS),
    ...exchange(LAYERS.low, LAYERS.high, mixingM3PerS + fanM3PerS),
  ];
}

function exchange(one: number, other: number, m3PerS: number): readonly Flow[] {
  return [
    { from: one, to: other, m3PerS },
    { from: other, to: one, m3PerS },
  ];
}

/** From each to the next and back to the first; air that stays where it is flows nowhere. */
function round(one: number, two: number, three: number, m3PerS: number): readonly Flow[] {
  return [
    { from: one, to: two, m3PerS },
    { from: two, to: three, m3PerS },
    { from: three, to: one, m3PerS },
  ].filter(({ from, to }) => from !== to);
}
