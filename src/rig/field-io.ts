/**
 * The field I/O's register map, the same for the simulated module and for whoever drives it.
 * PDU addresses, from 0. Coils are the controller's commands, discrete inputs what it can see.
 */

export const COILS = { fan: 0, damper: 1, heat: 2, trouble: 3, alarm: 4 } as const;
/** One coil a circuit from here on. */
export const COMPRESSOR_COIL_FIRST = 8;

export const INPUTS = { cooling: 0, heating: 1, fanCall: 2, airflow: 3, serviceReset: 4, fire: 5 } as const;
/** Contact sensors; 1 is closed. */
export const CONTACT_INPUT_FIRST = 8;
export const CONTACT_INPUT_LAST = 23;
/** Compressor running, one input a circuit from here on. */
export const RUNNING_INPUT_FIRST = 24;

export const IO_REGISTERS = { airflowM3PerH: 0, sinceCompleteWriteS: 1 } as const;
