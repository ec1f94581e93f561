/** Addresses on a line (MB-SER 2.2). */

/** Heard by every device, answered by none. */
export const BROADCAST = 0;
export const UNIT_MIN = 1;
/** The last that a device may have; those above it are reserved. */
export const UNIT_MAX = 247;
