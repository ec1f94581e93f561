/** Which question must wait for an answer that is owed: worked out without a line or a clock. */
import { expect, test } from 'vitest';
import {
  type MayPass,
  numbersMayPass,
  OwedAnswers,
  refusalsMayPass,
} from '../../../src/line/owed-answers.ts';
import type { Request } from '../../../src/modbus/index.ts';

const UNIT = 11;
const TIMEOUT_MS = 300;
const READ: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 2 };
const LOOK_ALIKE: Request = { ...READ, address: 20 };

function owing(request: Request = READ, mayPass: MayPass = numbersMayPass): OwedAnswers {
  const owed = new OwedAnswers(mayPass);
  owed.gaveUp(UNIT, request, 1000);
  return owed;
}

test('whoever owes nothing may be asked anything', () => {
  const owed = new OwedAnswers(numbersMayPass);
  owed.answered(UNIT, READ, 1000);
  expect(owed.waitMs(UNIT, LOOK_ALIKE, TIMEOUT_MS, 1000)).toBe(0);
});

/** Whether it waits where numbers alone count, and where refusals count as well. */
type Pair = readonly [name: string, given: Request, next: Request, numbers: boolean, refusals: boolean];

const pairs: readonly Pair[] = [
  ['another address', READ, LOOK_ALIKE, true, true],
  ['the same', READ, { ...READ }, false, false],
  ['another function', READ, { ...READ, functionCode: 3 }, false, false],
  ['another quantity of registers', READ, { ...READ, quantity: 3 }, false, true],
  [
    'bits that fill as many bytes',
    { kind: 'read', functionCode: 2, address: 0, quantity: 8 },
    { kind: 'read', functionCode: 2, address: 0, quantity: 1 },
    true,
    true,
  ],
  [
    'bits that fill more bytes',
    { kind: 'read', functionCode: 2, address: 0, quantity: 8 },
    { kind: 'read', functionCode: 2, address: 0, quantity: 9 },
    false,
    true,
  ],
  [
    'a write of other values',
    { kind: 'writeMany', functionCode: 15, address: 0, values: Uint16Array.of(1, 0) },
    { kind: 'writeMany', functionCode: 15, address: 0, values: Uint16Array.of(0, 0) },
    false,
    true,
  ],
  [
    'the next objects of an identification',
    { kind: 'identify', functionCode: 43, readCode: 2, objectId: 0 },
    { kind: 'identify', functionCode: 43, readCode: 2, objectId: 1 },
    false,
    true,
  ],
];

test.each(pairs)('after one given up, %s', (_, given, next, numbers, refusals) => {
  const waitMs = (mayPass: MayPass) => owing(given, mayPass).waitMs(UNIT, next, TIMEOUT_MS, 1100);
  expect([waitMs(numbersMayPass), waitMs(refusalsMayPass)]).toEqual([numbers ? 200 : 0, refusals ? 200 : 0]);
});

test('another unit need not wait', () => {
  expect(owing().waitMs(12, LOOK_ALIKE, TIMEOUT_MS, 1100)).toBe(0);
});

test('one time-out without a stray byte settles it; a stray byte begins it anew', () => {
  const owed = owing();
  owed.stray(1200);
  expect(owed.waitMs(UNIT, LOOK_ALIKE, TIMEOUT_MS, 1300)).toBe(200);
  expect(owed.waitMs(UNIT, LOOK_ALIKE, TIMEOUT_MS, 1500)).toBe(0);
  expect(owed.waitMs(UNIT, LOOK_ALIKE, TIMEOUT_MS, 1500), 'for good').toBe(0);
});

test('all that was given up is owed, and an answer settles none of it', () => {
  const owed = owing();
  owed.gaveUp(UNIT, LOOK_ALIKE, 1050);
  owed.answered(UNIT, LOOK_ALIKE, 1200);
  expect(owed.waitMs(UNIT, LOOK_ALIKE, TIMEOUT_MS, 1300)).toBe(200);
  expect(owed.waitMs(UNIT, READ, TIMEOUT_MS, 1300)).toBe(200);
});
