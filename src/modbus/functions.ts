/**
 * The function codes we speak, one row each; encoding, decoding, checking and answering all read these rows.
 *
 * Shapes: `read` asks for a run of values, `writeOne` sets one, `writeMany` sets a run, `maskWrite` sets some
 * bits of one, `readWrite` sets a run and asks for another, `identify` asks what the device is. A value is
 * one bit or one 16-bit register.
 * Codes, names and limits: MODBUS Application Protocol V1.1b3 (MB-APP), section 6.
 */

/** The four tables of the data model (MB-APP 4.3). */
type TableName = 'discreteInputs' | 'coils' | 'inputRegisters' | 'holdingRegisters';

/** `code` is the row's key once more, so that a row alone tells what goes on the wire. */
type Row = { readonly code: number; readonly name: string; readonly clause: string } & (
  | (Values & { readonly shape: 'read' | 'writeOne' | 'writeMany' | 'maskWrite' })
  /** `quantityMax` is of what is read; a request has less room for values than an answer. */
  | (Values & { readonly shape: 'readWrite'; readonly writeQuantityMax: number })
  /** The function carries several interfaces; this number, its second byte, says which (6.19). */
  | { readonly shape: 'identify'; readonly meiType: number }
);

interface Values {
  readonly table: TableName;
  readonly valueBits: 1 | 16;
  /** Values in one request at most: what fits into a PDU of 253 bytes, as the clause itself puts it. */
  readonly quantityMax: number;
}

// biome-ignore format: a table reads best in rows
export const FUNCTIONS = {
  1: { code: 0x01, name: 'read coils', clause: '6.1',
    shape: 'read', table: 'coils', valueBits: 1, quantityMax: 2000 },
  2: { code: 0x02, name: 'read discrete inputs', clause: '6.2',
    shape: 'read', table: 'discreteInputs', valueBits: 1, quantityMax: 2000 },
  3: { code: 0x03, name: 'read holding registers', clause: '6.3',
    shape: 'read', table: 'holdingRegisters', valueBits: 16, quantityMax: 125 },
  4: { code: 0x04, name: 'read input registers', clause: '6.4',
    shape: 'read', table: 'inputRegisters', valueBits: 16, quantityMax: 125 },
  5: { code: 0x05, name: 'write single coil', clause: '6.5',
    shape: 'writeOne', table: 'coils', valueBits: 1, quantityMax: 1 },
  6: { code: 0x06, name: 'write single register', clause: '6.6',
    shape: 'writeOne', table: 'holdingRegisters', valueBits: 16, quantityMax: 1 },
  15: { code: 0x0f, name: 'write multiple coils', clause: '6.11',
    shape: 'writeMany', table: 'coils', valueBits: 1, quantityMax: 1968 },
  16: { code: 0x10, name: 'write multiple registers', clause: '6.12',
    shape: 'writeMany', table: 'holdingRegisters', valueBits: 16, quantityMax: 123 },
  22: { code: 0x16, name: 'mask write register', clause: '6.16',
    shape: 'maskWrite', table: 'holdingRegisters', valueBits: 16, quantityMax: 1 },
  23: { code: 0x17, name: 'read/write multiple registers', clause: '6.17',
    shape: 'readWrite', table: 'holdingRegisters', valueBits: 16, quantityMax: 125, writeQuantityMax: 121 },
  43: { code: 0x2b, name: 'read device identification', clause: '6.21',
    shape: 'identify', meiType: 0x0e },
} as const satisfies Readonly<Record<number, Row>>;

export type FunctionCode = keyof typeof FUNCTIONS;
export type FunctionRow = (typeof FUNCTIONS)[FunctionCode];
export type RowOf<S extends FunctionRow['shape']> = Extract<FunctionRow, { readonly shape: S }>;
/** A function that moves values of a table. */
export type ValueRow = Exclude<FunctionRow, RowOf<'identify'>>;

/** The row of a code as it came over the wire; undefined for a function that we do not speak. */
export function functionRow(code: number): FunctionRow | undefined {
  const rows: Readonly<Record<number, FunctionRow>> = FUNCTIONS;
  return rows[code];
}
