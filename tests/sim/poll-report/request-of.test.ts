import { expect, it } from 'vitest';
import { askedFor, tableOf } from '../../../sim/poll-report/request-of.ts';

const of = (...bytes: number[]) => askedFor(Uint8Array.from(bytes));

it('tells what a read wants, an impossible one too', () => {
  expect(of(4, 0, 2, 0, 200).stretches).toEqual([
    { way: 'read', functionCode: 4, address: 2, quantity: 200 },
  ]);
});

it('tells where single and many writes go, and the words of those to registers', () => {
  expect(of(5, 0, 3, 0xff, 0).stretches).toEqual([
    { way: 'write', functionCode: 5, address: 3, quantity: 1 },
  ]);
  expect(of(15, 0, 8, 0, 2, 1, 3)).toMatchObject({ stretches: [{ address: 8, quantity: 2 }], words: null });
  const written = of(16, 0, 36, 0, 2, 4, 0x41, 0xa0, 0, 0);
  expect(written.words?.address).toBe(36);
  expect(Array.from(written.words?.values ?? [])).toEqual([0x41a0, 0]);
});

it('tells both parts of a read/write, and of half a one as much as came', () => {
  const both = of(23, 0, 32, 0, 4, 0, 80, 0, 1, 2, 0, 12);
  expect(both.stretches.map(({ way, address, quantity }) => [way, address, quantity])).toEqual([
    ['read', 32, 4],
    ['write', 80, 1],
  ]);
  expect(Array.from(both.words?.values ?? [])).toEqual([12]);
  expect(of(23, 0, 32, 0, 4, 0).stretches).toHaveLength(1);
});

it('has no ranges for identification, unknown functions, and requests that are cut short', () => {
  for (const request of [of(0x2b, 14, 1, 0), of(0x63, 0, 0, 0, 1), of(4, 0, 0)])
    expect(request).toMatchObject({ stretches: [], words: null });
});

it('knows the table of each function', () => {
  expect([1, 2, 3, 4, 5, 6, 15, 16, 22, 23, 43, 99].map(tableOf)).toEqual([
    ...['coil', 'discrete', 'holding', 'input', 'coil', 'holding', 'coil', 'holding', 'holding', 'holding'],
    ...[null, null],
  ]);
});
