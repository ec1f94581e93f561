/** A process that stands still is seen to, in the time of the bench. */
import { setTimeout } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { HeldUp } from '../../../../src/app/drill/held-up.ts';

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
