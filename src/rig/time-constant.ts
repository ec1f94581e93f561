/** The lag of a sensor from the t90 on its data sheet. */
import type { Ms } from '../units/index.ts';

interface Response {
  readonly responseT90Ms: Ms;
  readonly deadTimeMs: Ms;
}

/** A sensor that a fault gives a t90 within its dead time still has a lag, of no account. */
const LAG_T90_MS_MIN = 1;

/**
 * t90 counts from the change at the inlet (IEC 60079-29-1, second hand), so the dead time is part of it; what
 * is left is a first-order lag, which shows 90 % of a step after tau ln 10.
 */
export function timeConstantMs({ responseT90Ms, deadTimeMs }: Response): Ms {
  const lagT90Ms = responseT90Ms - deadTimeMs;
  return ((lagT90Ms > 0 ? lagT90Ms : LAG_T90_MS_MIN) / Math.LN10) as Ms;
}
