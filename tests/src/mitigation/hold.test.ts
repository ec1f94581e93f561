import { expect, test } from 'vitest';
import { runClock } from '../../../src/mitigation/hold.ts';
import { ms } from '../../../src/units/index.ts';
import { Lead } from './situations.ts';

test('a clock that runs without any proof of airflow has not run', () => {
  const before = { ranMs: 5000, runningSinceMs: ms(10_000) };
  expect(runClock(before, new Lead().situation(), ms(60_000))).toEqual({ ranMs: 5000, runningSinceMs: null });
});
