/**
 * A process that appends for ever: `appender.ts FOLDER LIMIT_BYTES`. Each line on its standard output is a sequence that
 * it was told is stored. How many facts go together is drawn by a small generator of its own.
 */
import { writeSync } from 'node:fs';
import { openRecord } from '../../../src/record/index.ts';
import { gas, pressed, upTo } from './facts.ts';

const [, , folder = '', limitBytes] = process.argv;
const record = openRecord({ folder, rigName: 'Tide Street', limitBytes: Number(limitBytes) });
let draw = record.lastSequence() + 1;
for (;;) {
  draw = (draw * 48_271) % 0x7fffffff;
  const count = 1 + (draw % 40);
  record.append(upTo(draw % 7).map(gas));
  record.append(upTo(count).map(pressed));
  writeSync(1, `${record.lastSequence()}\n`);
}
