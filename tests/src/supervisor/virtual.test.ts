import { expect, it } from 'vitest';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';
import { onTwoLines } from './tiny-rig.ts';

it('writes what one line found out before the line with the field I/O begins its next cycle', () => {
  const rig = onTwoLines(ms(20_000));
  const bench = new VirtualBench(rig, { seed: 1, observe: () => undefined, tell: () => undefined });
  bench.runUntil(ms(41_000));
  bench.apply(stepFor(rig, { testGas: { at: 'coil-b', level: '60 %LFL' } }));
  let now = 41_000;
  while (bench.supervisor?.mitigation.commands.alarm === false && now < 60_000) {
    now += 100;
    bench.runUntil(ms(now));
  }
  // The next cycle of its line would begin at 60 s.
  expect(now).toBeLessThan(58_000);
  bench.runUntil(ms(now + 1));
  expect(bench.world.terminals.alarm).toBe(true);
});

it.each([
  ['200 ms', true],
  ['400 ms', false],
])('hears a field I/O whose answers come %s late if that is within the time-out', (by, heard) => {
  const rig = demoRig();
  const bench = new VirtualBench(rig, { seed: 1, observe: () => undefined, tell: () => undefined });
  bench.apply(stepFor(rig, { call: { cooling: 'on' } }));
  bench.runUntil(ms(20_000));
  expect(bench.world.terminals.compressors).toEqual([true, true]);
  bench.apply(stepFor(rig, { fault: { in: 'fieldIo', kind: 'late', by } }));
  bench.runUntil(ms(40_000));
  // Both halves of a write go out one after the other, so the compressors are commanded too.
  expect(bench.world.terminals.compressors).toEqual([heard, heard]);
  expect(bench.supervisor?.mitigation.commands.trouble).toBe(!heard);
});
