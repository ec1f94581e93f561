import { expect, test } from 'vitest';
import { Timers } from '../../../sim/world/timers.ts';
import { ms } from '../../../src/units/index.ts';

test('what is due at once is called in the order it was set, a key that is set again as of then', () => {
  const timers = new Timers();
  const called: string[] = [];
  const set = (key: string, atMs: number): void => {
    timers.set(key, ms(atMs), () => called.push(key));
  };
  set('first', 5);
  set('second', 10);
  set('first', 10);
  timers.run(ms(9));
  expect(called).toEqual([]);
  timers.run(ms(10));
  expect(called).toEqual(['second', 'first']);
  expect(timers.nextMs()).toBe(Number.POSITIVE_INFINITY);
});
