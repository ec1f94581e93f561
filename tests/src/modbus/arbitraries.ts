/** Random Modbus traffic for property tests: sound requests, and PDUs that are nearly sound. */
import fc from 'fast-check';
import type { FunctionRow } from '../../../src/modbus/functions.ts';
import { encodeRequest, FUNCTIONS, type Request } from '../../../src/modbus/index.ts';

const ADDRESS = fc.oneof(fc.nat(40), fc.nat(0xffff));

/** Any request that the standard allows, of every function that we speak. */
export function anyRequest(): fc.Arbitrary<Request> {
  return fc.oneof(...Object.values(FUNCTIONS).map(requestOf));
}

function requestOf(row: FunctionRow): fc.Arbitrary<Request> {
  if (row.shape === 'identify') {
    return fc.record({
      kind: fc.constant(row.shape),
      functionCode: fc.constant(row.code),
      readCode: fc.constantFrom(1, 2, 3, 4),
      objectId: fc.oneof(fc.nat(7), fc.integer({ min: 0x80, max: 0x83 }), fc.nat(255)),
    });
  }
  const value = fc.nat(row.valueBits === 16 ? 0xffff : 1);
  const few = fc.integer({ min: 1, max: 20 });
  switch (row.shape) {
    case 'read':
      return fc.record({
        kind: fc.constant(row.shape),
        functionCode: fc.constant(row.code),
        address: ADDRESS,
        quantity: fc.oneof(few, fc.integer({ min: 1, max: row.quantityMax })),
      });
    case 'writeOne':
      return fc.record({
        kind: fc.constant(row.shape),
        functionCode: fc.constant(row.code),
        address: ADDRESS,
        value,
      });
    case 'writeMany':
      return fc.record({
        kind: fc.constant(row.shape),
        functionCode: fc.constant(row.code),
        address: ADDRESS,
        values: fc
          .array(value, { minLength: 1, maxLength: row.quantityMax })
          .map((list) => Uint16Array.from(list)),
      });
    case 'maskWrite':
      return fc.record({
        kind: fc.constant(row.shape),
        functionCode: fc.constant(row.code),
        address: ADDRESS,
        andMask: value,
        orMask: value,
      });
    case 'readWrite':
      return fc.record({
        kind: fc.constant(row.shape),
        functionCode: fc.constant(row.code),
        address: ADDRESS,
        quantity: fc.oneof(few, fc.integer({ min: 1, max: row.quantityMax })),
        writeAddress: ADDRESS,
        values: fc
          .array(value, { minLength: 1, maxLength: row.writeQuantityMax })
          .map((list) => Uint16Array.from(list)),
      });
  }
}

/** A sound PDU with one byte changed, cut short, or lengthened; or plain noise. Never empty. */
export function nearlySoundPdu(): fc.Arbitrary<Uint8Array> {
  const sound = anyRequest().map(encodeRequest);
  return fc.oneof(
    sound,
    fc.tuple(sound, fc.nat(), fc.nat(255)).map(([pdu, at, byte]) => pdu.with(at % pdu.length, byte)),
    fc.tuple(sound, fc.nat()).map(([pdu, length]) => pdu.subarray(0, 1 + (length % pdu.length))),
    fc
      .tuple(sound, fc.uint8Array({ minLength: 1, maxLength: 4 }))
      .map(([pdu, tail]) => Uint8Array.from([...pdu, ...tail]).subarray(0, 253)),
    fc.uint8Array({ minLength: 1, maxLength: 253 }),
  );
}
