export {
  type AirCourse,
  type AirInputs,
  type AirMasses,
  changeAir,
  concentrationAt,
  massesAt,
  startAir,
} from './air.ts';
export { type Band, type Direction, firstCrossing, firstOutsideBand, type Window } from './crossing.ts';
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
export { type AirModel, type AirPlan, airModel, type Zone } from './mode.ts';
export { beginRelease, type Outflow, type Release, releasedBy } from './release.ts';
