export {
  type AirCourse,
  type AirInputs,
  type AirMasses,
  changeAir,
  concentrationAt,
  inputsAt,
  massesAt,
  RELEASE_INTO,
  startAir,
} from './air.ts';
export { type Direction, firstCrossing, type Window } from './crossing.ts';
export type { AirPlan, Layer, LayersPlan, Zone } from './flows.ts';
export {
  type Exposure,
  expose,
  followAir,
  type Lag,
  type LagStart,
  readLag,
  setTau,
  startLag,
  tauOfT90,
} from './lag.ts';
export { type AirModel, airModel } from './mode.ts';
export { chokedAbovePa, fallOfHole } from './orifice.ts';
export { type Emptying, emptyingBy, type Fall, outflowsOf, type PumpDown } from './outflows.ts';
export { beginRelease, type Outflow, type Release } from './release.ts';
