/** A device to talk to in wire tests: unit 11, a few values of each table, and what was written to it. */

import type { Serve } from '../../../sim/wire/serve.ts';
import {
  answer,
  type DataModel,
  identificationOf,
  readableTable,
  writableTable,
} from '../../../src/modbus/index.ts';

export const UNIT = 11;

/** What the device says it is; one object of each level. */
export const OBJECTS = { 0: 'leakbench', 1: 'SMALL', 2: '1.0', 4: 'a device to talk to', 128: '240811' };

/** Input registers 0-124 hold their address times 3; discrete inputs 0-15 alternate from 1; the rest is 0. */
export function smallDevice(unitId = UNIT) {
  const coils = new Uint8Array(16);
  const holding = new Uint16Array(16);
  const takesAll = { refuses: () => undefined, written: () => undefined };
  const model: DataModel = {
    coils: writableTable([{ first: 0, values: coils }], takesAll),
    discreteInputs: readableTable([
      { first: 0, values: Uint8Array.from({ length: 16 }, (_, at) => 1 - (at % 2)) },
    ]),
    inputRegisters: readableTable([
      { first: 0, values: Uint16Array.from({ length: 125 }, (_, at) => 3 * at) },
    ]),
    holdingRegisters: writableTable([{ first: 0, values: holding }], takesAll),
    identification: identificationOf(
      { vendorName: OBJECTS[0], productCode: OBJECTS[1], revision: OBJECTS[2], productName: OBJECTS[4] },
      { 128: OBJECTS[128] },
    ),
  };
  /** Its unit answers; a broadcast to unit 0 is carried out; every other unit is silent. */
  const serve: Serve = (unit, pdu) => (unit === unitId || unit === 0 ? answer(pdu, model) : undefined);
  return { model, serve, coils, holding };
}
