/** Bench time on real timers: order and lower bounds only, since a machine may always be slow. */
import { performance } from 'node:perf_hooks';
import { afterEach, expect, test } from 'vitest';
import { type BenchClock, benchClock } from '../../../src/clock/index.ts';
import { ms } from '../../../src/units/index.ts';

let clock: BenchClock | undefined;
afterEach(() => {
  clock?.stop();
});

function at(bench: BenchClock, atMs: number): Promise<number> {
  return new Promise((resolve) => {
    bench.at(ms(atMs), () => {
      resolve(bench.now());
    });
  });
}

test('begins at zero, takes whole milliseconds, and never calls too early', async () => {
  clock = benchClock(20);
  expect(clock.now()).toBeLessThan(5000);
  const began = performance.now();
  expect(await at(clock, 1000)).toBeGreaterThanOrEqual(1000);
  expect(performance.now() - began).toBeGreaterThanOrEqual(30);
  expect(Number.isInteger(clock.now())).toBe(true);
});

test('calls in the order of their moments, and not what was taken back', async () => {
  const bench = benchClock(20);
  clock = bench;
  const called: string[] = [];
  bench.at(ms(400), () => called.push('later'));
  const takeBack = bench.at(ms(300), () => called.push('never'));
  bench.at(ms(200), () => called.push('sooner'));
  takeBack();
  await at(bench, 600);
  expect(called).toEqual(['sooner', 'later']);
});

test('stands still while it is paused, and goes on from there', async () => {
  const bench = benchClock(20);
  clock = bench;
  await at(bench, 100);
  bench.set({ paused: true });
  const stood = bench.now();
  let called = false;
  bench.at(ms(stood + 1), () => {
    called = true;
  });
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(bench.now()).toBe(stood);
  expect(called).toBe(false);
  bench.set({ paused: false });
  expect(await at(bench, stood + 100)).toBeGreaterThanOrEqual(stood + 100);
  expect(called).toBe(true);
});

test('a change of speed never moves time back, and spans shrink with it', () => {
  clock = benchClock(1);
  const before = clock.now();
  clock.set({ speed: 10 });
  expect(clock.now()).toBeGreaterThanOrEqual(before);
  expect(clock.speed()).toBe(10);
  expect(clock.toReal(1000)).toBe(100);
  expect(() => clock?.set({ speed: 0.5 })).toThrow(RangeError);
  expect(() => benchClock(21)).toThrow(RangeError);
});
