/** Leaping against stepping, on many more random drills than the short form. */
import { expect, test } from 'vitest';
import { demoRig } from '../helpers/demo.ts';
import { bothWays, randomDrills } from '../helpers/leapt.ts';

const DRILLS = 2000;
const HOUR_MS = 3_600_000;

test(
  `${DRILLS} random drills leave the same, leapt or stepped`,
  () => {
    for (const [index, drill] of randomDrills(demoRig(), 7, DRILLS).entries()) {
      const { stepped, leapt } = bothWays(drill);
      expect(leapt, `drill ${index}`).toEqual(stepped);
    }
  },
  HOUR_MS,
);
