/** The short form of tests/long/http-fuzz.test.ts: whatever is sent, nothing breaks and nobody is let in. */
import { test } from 'vitest';
import { fuzzAll } from './fuzz/fuzz-all.ts';

test('requests and messages of anybody are no fault of the bench, and do no more than their sender may', () =>
  fuzzAll({ outsiders: 800, anybody: 1000, rawOutsiders: 400, rawAnybody: 400, messages: 600 }));
