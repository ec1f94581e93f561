/** A process that stands still is seen to, in the time of the bench. */
import { setTimeout } from 'node:timers/promises';
import { expect, test, vi } from 'vitest';
import { HeldUp, tellHeldUp } from '../../../src/app/held-up.ts';
import { benchClock } from '../../../src/clock/index.ts';
import type { Fact } from '../../../src/events/index.ts';
import { demoRig } from '../../helpers/demo.ts';

function standStill(ms: number): void {
  const end = performance.now() + ms;
  while (performance.now() < end);
}

test('a machine that stood still for 200 ms was late by seconds of a bench at speed 20', async () => {
  const machine = new HeldUp();
  machine.begin();
  await setTimeout(30);
  standStill(200);
  await setTimeout(30);
  expect(machine.end(20)).toMatch(
    /^this machine was held up for [3-9]\.\d s of bench time at speed 20: .*more slowly$/u,
  );
});

test('a delay from before the drill is not told', async () => {
  const machine = new HeldUp();
  machine.begin();
  standStill(200);
  await setTimeout(30);
  machine.begin();
  await setTimeout(30);
  expect(machine.end(1)).toBeNull();
});

test('a bench says so itself, where a sensor may have seemed silent for it', async ({ onTestFinished }) => {
  const rig = demoRig();
  const told = new Map<number, Fact[]>();
  for (const speed of [1, 20]) {
    const clock = benchClock(speed);
    const facts: Fact[] = [];
    told.set(speed, facts);
    const end = tellHeldUp(rig, clock, (more) => void facts.push(...more));
    onTestFinished(() => {
      end();
      clock.stop();
    });
  }
  await setTimeout(30);
  // Four seconds at speed 20.
  standStill(200);
  await vi.waitFor(() => {
    expect(told.get(20)?.[0]).toMatchObject({ id: 'computer.stalled' });
  }, 10_000);
  const [fact] = told.get(20) ?? [];
  if (fact?.id !== 'computer.stalled') throw new Error('it was told');
  expect(fact.fields.benchMs).toBeGreaterThanOrEqual(3500);
  expect(fact.fields.benchMs / fact.fields.realMs).toBeCloseTo(20, 0);
  expect(told.get(1)).toEqual([]);
});
