import type { Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { slowly } from '../../src/supervisor/tiny-rig.ts';

const MINUTE = 60_000;
const QUICK = { holdMs: ms(2 * MINUTE), compressorMinOffMs: ms(MINUTE), resumeWithinMs: ms(MINUTE) };

/** The demo rig with a shorter hold, polled half as often, since a poll costs the same whenever it is. */
export function quickRig(): Rig {
  return slowly(QUICK);
}
