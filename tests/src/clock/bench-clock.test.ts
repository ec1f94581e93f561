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

test('keeps that order when the machine was busy past both', async () => {
  const bench = benchClock(20);
  clock = bench;
  const called: string[] = [];
  bench.at(ms(300), () => called.push('later'));
  bench.at(ms(200), () => called.push('sooner'));
  while (bench.now() < 400) performance.now();
  await at(bench, 400);
  expect(called).toEqual(['sooner', 'later']);
});

test('calls what is due at one moment in the order it was asked for', async () => {
  const bench = benchClock(20);
  clock = bench;
  const called: number[] = [];
  for (const one of [1, 2, 3]) bench.at(ms(200), () => called.push(one));
  await at(bench, 200);
  expect(called).toEqual([1, 2, 3]);
});

test('what is called may take back what is due with it, and ask for more', async () => {
  const bench = benchClock(20);
  clock = bench;
  const called: string[] = [];
  let takeBack = (): void => undefined;
  const more = new Promise<void>((resolve) => {
    bench.at(ms(100), () => {
      called.push('first');
      takeBack();
      bench.at(ms(50), () => {
        called.push('due long ago');
        resolve();
      });
    });
  });
  takeBack = bench.at(ms(100), () => called.push('never'));
  await more;
  expect(called).toEqual(['first', 'due long ago']);
  takeBack();
  expect(called, 'taking back twice does no harm').toHaveLength(2);
});

test('calls nothing more once it is stopped', async () => {
  const bench = benchClock(20);
  let called = false;
  bench.at(ms(20), () => {
    called = true;
  });
  bench.stop();
  await new Promise((resolve) => setTimeout(resolve, 30));
  expect(bench.now(), 'the moment has passed').toBeGreaterThanOrEqual(20);
  expect(called).toBe(false);
});

test('says whether it is paused, and changes one thing at a time', () => {
  clock = benchClock(5);
  expect([clock.paused(), clock.speed()]).toEqual([false, 5]);
  clock.set({ paused: true });
  expect([clock.paused(), clock.speed()]).toEqual([true, 5]);
  clock.set({ speed: 2 });
  expect([clock.paused(), clock.speed()]).toEqual([true, 2]);
  expect(() => clock?.set({ speed: Number.NaN, paused: false })).toThrow('speed takes 1 to 20, not NaN');
  expect([clock.paused(), clock.speed()], 'a refused change changes nothing').toEqual([true, 2]);
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
