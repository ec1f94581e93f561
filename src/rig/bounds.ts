/**
 * How far what a rig says may go. Choices of ours, no source: wide of what any plant has, and narrow enough
 * that a slip of the unit is told. Nothing goes on faster than a poll of 10 ms, nor does a controller wait
 * for longer than a day.
 */
export const ASKING = { least: '1 ms', most: '1 min' };
export const PERIOD = { least: '10 ms', most: '1 h' };
export const LIMIT = { least: '1 ms', most: '1 h' };
export const LASTING = { least: '1 ms', most: '24 h' };
export const AIRFLOW = { most: '1000000 m3/h' };
/** Service is counted in days; past a hundred years stands a slip of the unit. */
export const SERVICE = { least: '24 h', most: '100 years' };
export const AGE = { zeroToo: true, most: SERVICE.most };
