/**
 * Times of single requests. Figures computed from MB-SER 2.5.1: a character is 11 bits, a frame is parted
 * from the next by 3.5 characters, or 1.750 ms above 19 200 baud; a read of n registers takes 8 + 5 + 2n
 * characters.
 */
import { describe, expect, test } from 'vitest';
import { isRetried, mediumOf, requestTime } from '../../../src/budget/request-time.ts';
import type { Line } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { manySensors } from './rigs.ts';

function lineAt(baud: number | null, gatewayMs = 200, timeoutMs = 300): Line {
  const [line] = manySensors({ lines: [{ sensors: 1, baud, gatewayMs, timeoutMs }] }).lines;
  if (line === undefined) throw new Error('no line');
  return line;
}

function serialAt(baud: number): Line {
  const listen = [{ kind: 'rtu', path: '/dev/x', baud, parity: 'even', stopBits: 1 }] as const;
  return { ...lineAt(null), listen };
}

const read = (quantity: number) => ({ kind: 'read', functionCode: 4, address: 0, quantity }) as const;

describe('a request on a serial line takes its characters and two silences', () => {
  test.each([
    [9600, 2, 27.5],
    [9600, 19, 66.4583],
    [19_200, 2, 13.75],
    [19_200, 19, 33.2292],
    [38_400, 2, 8.3698],
    [115_200, 2, 5.1233],
  ])('%i baud, FC 04 of %i registers: %f ms', (baud, quantity, expected) => {
    expect(requestTime(read(quantity), serialAt(baud), 0).answeredMs).toBeCloseTo(expected, 3);
    expect(requestTime(read(quantity), lineAt(baud), 0).answeredMs).toBeCloseTo(expected, 3);
  });

  test('eight bits written and acknowledged take 10 and 8 characters', () => {
    const values = Uint16Array.from({ length: 8 });
    const write = { kind: 'writeMany', functionCode: 15, address: 0, values } as const;
    expect(requestTime(write, serialAt(9600), 0).characters).toBe(18);
  });
});

describe('a silent device holds the line up', () => {
  test('for the line’s time-out where nothing lies between', () => {
    expect(requestTime(read(2), lineAt(null), 0).silentMs).toBe(300);
    expect(requestTime(read(2), serialAt(9600), 0).silentMs).toBe(300);
  });
  test('behind a gateway for the request and the gateway’s own time-out', () => {
    // 8 characters of 1.1458 ms and 3.5 of silence: 13.177 ms (computed from MB-SER 2.5.1).
    expect(requestTime(read(2), lineAt(9600), 0).silentMs).toBeCloseTo(213.177, 3);
  });
  test('and is asked again only where nobody said that it is silent', () => {
    expect(isRetried(lineAt(9600, 200), 213)).toBe(false);
    expect(isRetried(lineAt(9600, 400), 413)).toBe(true);
    expect(isRetried(lineAt(null), 300)).toBe(true);
  });
});

describe('what lies between', () => {
  test('is told by the first address, and a pace counts for Modbus TCP alone', () => {
    expect(mediumOf(lineAt(null)).kind).toBe('network');
    expect(mediumOf(lineAt(9600)).kind).toBe('gateway');
    expect(mediumOf(serialAt(9600)).kind).toBe('serial');
    const rtuOverTcp = { kind: 'rtu+tcp', host: '127.0.0.1', port: 1503 } as const;
    expect(mediumOf({ ...lineAt(9600), listen: [rtuOverTcp] }).kind).toBe('network');
    expect(mediumOf({ ...lineAt(9600), listen: [] }).kind).toBe('network');
  });
  test('a network adds what one says it does, to plain TCP and to a gateway', () => {
    expect(requestTime(read(2), lineAt(null), 7).answeredMs).toBe(7);
    expect(requestTime(read(2), lineAt(9600), 7).answeredMs).toBeCloseTo(34.5, 3);
    expect(requestTime(read(2), serialAt(9600), 7).answeredMs).toBeCloseTo(27.5, 3);
  });
  test('a time-out is whole milliseconds of the rig', () => {
    expect(requestTime(read(2), { ...lineAt(null), timeoutMs: ms(123) }, 0).silentMs).toBe(123);
  });
});
