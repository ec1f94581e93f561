/**
 * The worked examples of MODBUS Application Protocol V1.1b3, section 6 (and 7 for the exception): every
 * function's request and response as printed there, and what they mean.
 */
import type { Request, Response } from '../../../src/modbus/index.ts';

export interface Vector {
  readonly clause: string;
  readonly requestHex: string;
  readonly responseHex: string;
  readonly request: Request;
  readonly response: Response;
}

export function bytesOf(hex: string): Uint8Array {
  return Uint8Array.from(hex.split(' '), (byte) => Number.parseInt(byte, 16));
}

export function hexOf(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0').toUpperCase()).join(' ');
}

const values = (...list: readonly number[]) => Uint16Array.from(list);

export const VECTORS: readonly Vector[] = [
  {
    clause: '6.1 read coils',
    requestHex: '01 00 13 00 13',
    responseHex: '01 03 CD 6B 05',
    request: { kind: 'read', functionCode: 0x01, address: 0x13, quantity: 19 },
    // Coils 20 to 38: CD from its least significant bit up, then 6B, then three bits of 05.
    response: {
      kind: 'read',
      functionCode: 0x01,
      values: values(1, 0, 1, 1, 0, 0, 1, 1, 1, 1, 0, 1, 0, 1, 1, 0, 1, 0, 1),
    },
  },
  {
    clause: '6.2 read discrete inputs',
    requestHex: '02 00 C4 00 16',
    responseHex: '02 03 AC DB 35',
    request: { kind: 'read', functionCode: 0x02, address: 0xc4, quantity: 22 },
    response: {
      kind: 'read',
      functionCode: 0x02,
      values: values(0, 0, 1, 1, 0, 1, 0, 1, 1, 1, 0, 1, 1, 0, 1, 1, 1, 0, 1, 0, 1, 1),
    },
  },
  {
    clause: '6.3 read holding registers',
    requestHex: '03 00 6B 00 03',
    responseHex: '03 06 02 2B 00 00 00 64',
    request: { kind: 'read', functionCode: 0x03, address: 0x6b, quantity: 3 },
    response: { kind: 'read', functionCode: 0x03, values: values(555, 0, 100) },
  },
  {
    clause: '6.4 read input registers',
    requestHex: '04 00 08 00 01',
    responseHex: '04 02 00 0A',
    request: { kind: 'read', functionCode: 0x04, address: 8, quantity: 1 },
    response: { kind: 'read', functionCode: 0x04, values: values(10) },
  },
  {
    clause: '6.5 write single coil',
    requestHex: '05 00 AC FF 00',
    responseHex: '05 00 AC FF 00',
    request: { kind: 'writeOne', functionCode: 0x05, address: 0xac, value: 1 },
    response: { kind: 'writeOne', functionCode: 0x05, address: 0xac, value: 1 },
  },
  {
    clause: '6.6 write single register',
    requestHex: '06 00 01 00 03',
    responseHex: '06 00 01 00 03',
    request: { kind: 'writeOne', functionCode: 0x06, address: 1, value: 3 },
    response: { kind: 'writeOne', functionCode: 0x06, address: 1, value: 3 },
  },
  {
    clause: '6.11 write multiple coils',
    requestHex: '0F 00 13 00 0A 02 CD 01',
    responseHex: '0F 00 13 00 0A',
    request: {
      kind: 'writeMany',
      functionCode: 0x0f,
      address: 0x13,
      values: values(1, 0, 1, 1, 0, 0, 1, 1, 1, 0),
    },
    response: { kind: 'writeMany', functionCode: 0x0f, address: 0x13, quantity: 10 },
  },
  {
    clause: '6.12 write multiple registers',
    requestHex: '10 00 01 00 02 04 00 0A 01 02',
    responseHex: '10 00 01 00 02',
    request: { kind: 'writeMany', functionCode: 0x10, address: 1, values: values(0x000a, 0x0102) },
    response: { kind: 'writeMany', functionCode: 0x10, address: 1, quantity: 2 },
  },
  {
    clause: '6.16 mask write register',
    requestHex: '16 00 04 00 F2 00 25',
    responseHex: '16 00 04 00 F2 00 25',
    request: { kind: 'maskWrite', functionCode: 0x16, address: 4, andMask: 0xf2, orMask: 0x25 },
    response: { kind: 'maskWrite', functionCode: 0x16, address: 4, andMask: 0xf2, orMask: 0x25 },
  },
  {
    clause: '6.17 read/write multiple registers',
    requestHex: '17 00 03 00 06 00 0E 00 03 06 00 FF 00 FF 00 FF',
    responseHex: '17 0C 00 FE 0A CD 00 01 00 03 00 0D 00 FF',
    request: {
      kind: 'readWrite',
      functionCode: 0x17,
      address: 3,
      quantity: 6,
      writeAddress: 0x0e,
      values: values(0xff, 0xff, 0xff),
    },
    response: { kind: 'readWrite', functionCode: 0x17, values: values(0xfe, 0x0acd, 1, 3, 13, 255) },
  },
  {
    clause: '7 exception response',
    requestHex: '01 04 A1 00 01',
    responseHex: '81 02',
    request: { kind: 'read', functionCode: 0x01, address: 0x4a1, quantity: 1 },
    response: { kind: 'exception', functionCode: 0x01, code: 0x02 },
  },
];
