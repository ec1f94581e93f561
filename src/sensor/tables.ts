/** The four tables of a Modbus device (MB-APP 4.3). */
import type { Point } from './point.ts';

export type Table = Point['table'];

/** The function that reads each table (MB-APP 6.1 to 6.4); bits come first in a poll. */
export const READ_FUNCTIONS = { discrete: 2, coil: 1, input: 4, holding: 3 } as const satisfies Record<
  Table,
  number
>;
export const TABLES = Object.keys(READ_FUNCTIONS) as readonly Table[];

/** The one of the same width, which is easily taken for it. */
export const OTHER_TABLE: Readonly<Record<Table, Table>> = {
  input: 'holding',
  holding: 'input',
  discrete: 'coil',
  coil: 'discrete',
};

export const TABLE_WORDS: Readonly<Record<Table, string>> = {
  discrete: 'discrete inputs',
  coil: 'coils',
  input: 'input registers',
  holding: 'holding registers',
};
