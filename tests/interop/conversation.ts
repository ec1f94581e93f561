/** One conversation with the small device that uses every function, whatever the face and the client. */
import { expect } from 'vitest';
import type { BusAddress } from '../../src/rig/index.ts';
import { OBJECTS } from '../sim/wire/small-device.ts';
import { askAll, type OutsideAnswer, type OutsideClient, type OutsideRequest } from './outside-clients.ts';

type Spoken = readonly [Omit<OutsideRequest, 'unit'>, Partial<Record<string, unknown>>];

const { 0: vendorName, 1: productCode, 2: revision, 128: serial } = OBJECTS;

/** [function, address, count, values to write], and what must come of it, in this order. */
const CONVERSATION: readonly Spoken[] = [
  [{ functionCode: 15, address: 0, count: 3, values: [0, 0, 1] }, { values: [0, 0, 1] }],
  [{ functionCode: 1, address: 0, count: 3 }, { values: [0, 0, 1] }],
  [{ functionCode: 2, address: 0, count: 9 }, { values: [1, 0, 1, 0, 1, 0, 1, 0, 1] }],
  [{ functionCode: 4, address: 1, count: 5 }, { values: [3, 6, 9, 12, 15] }],
  [{ functionCode: 4, address: 0, count: 125 }, { values: Array.from({ length: 125 }, (_, at) => 3 * at) }],
  [{ functionCode: 5, address: 1, count: 1, values: [1] }, { values: [1] }],
  [{ functionCode: 15, address: 4, count: 10, values: [1, 0, 1, 1, 0, 0, 1, 1, 1, 0] }, {}],
  [{ functionCode: 1, address: 0, count: 16 }, { values: [0, 1, 1, 0, 1, 0, 1, 1, 0, 0, 1, 1, 1, 0, 0, 0] }],
  [{ functionCode: 6, address: 2, count: 1, values: [65535] }, { values: [65535] }],
  [{ functionCode: 16, address: 3, count: 2, values: [10, 258] }, { values: [10, 258] }],
  [{ functionCode: 3, address: 1, count: 4 }, { values: [0, 65535, 10, 258] }],
  [{ functionCode: 4, address: 124, count: 2 }, { exception: 2 }],
  [{ functionCode: 6, address: 16, count: 1, values: [1] }, { exception: 2 }],
  // The masks and the result of MB-APP 6.16: (0x12 and 0xF2) or (0x25 and not 0xF2) is 0x17.
  [{ functionCode: 6, address: 4, count: 1, values: [0x12] }, { values: [0x12] }],
  [{ functionCode: 22, address: 4, count: 1, values: [0xf2, 0x25] }, { values: [0xf2, 0x25] }],
  [{ functionCode: 3, address: 4, count: 1 }, { values: [0x17] }],
  [{ functionCode: 22, address: 16, count: 1, values: [0, 0] }, { exception: 2 }],
  // What is read has been written by then, where the two overlap.
  [{ functionCode: 23, address: 3, count: 4, values: [5, 255, 7] }, { values: [10, 0x17, 255, 7] }],
  [{ functionCode: 23, address: 15, count: 2, values: [0, 1] }, { exception: 2 }],
  [{ functionCode: 3, address: 0, count: 1 }, { values: [0] }],
  [{ functionCode: 43, address: 0, count: 1 }, { objects: { 0: vendorName, 1: productCode, 2: revision } }],
  [{ functionCode: 43, address: 0, count: 3 }, { objects: OBJECTS }],
  [{ functionCode: 43, address: 128, count: 4 }, { objects: { 128: serial } }],
  [{ functionCode: 43, address: 77, count: 4 }, { exception: 2 }],
];

export const EXCEPTIONS_HEARD = CONVERSATION.filter(([, expected]) => 'exception' in expected).length;

/** The client has the whole conversation with one device; returns how many requests that were. */
export async function converse(client: OutsideClient, bus: BusAddress, unit: number): Promise<number> {
  const answers = await askAll(
    client,
    bus,
    CONVERSATION.map(([request]) => ({ unit, ...request })),
  );
  expect(answers).toHaveLength(CONVERSATION.length);
  CONVERSATION.forEach(([request, expected], at) => {
    expect(answers[at], `${client}, unit ${unit}, ${JSON.stringify(request)}`).toMatchObject(expected);
    expect(answers[at]).not.toHaveProperty('error');
  });
  return CONVERSATION.length;
}

/** What a client that expects an answer gets where none may come. */
export function isSilence(answer: OutsideAnswer | undefined): boolean {
  return answer !== undefined && 'error' in answer;
}
