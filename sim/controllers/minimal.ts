/**
 * The minimal controller as a command: lines in, lines out.
 * Run it with: leakbench drill FILE --controller "exec:node dist/sim/controllers/minimal.js"
 */
import { createInterface } from 'node:readline';
import { KeptFile } from './kept-file.ts';
import { decide, type Memory, powerUp } from './minimal-controller.ts';
import type { Cycle, Plan } from './plan.ts';

const file = new KeptFile(process.env['LEAKBENCH_STATE_DIR'] ?? '.');
let memory: Memory | null = null;

for await (const line of createInterface({ input: process.stdin })) {
  const message = JSON.parse(line) as
    | (Plan & { readonly reset: true })
    | (Cycle & { readonly reset?: never });
  if (message.reset) {
    memory = powerUp(message, file.load(message.policy.latchTrips !== null));
    say({ ready: true });
    continue;
  }
  if (memory === null) throw new Error('a cycle came before the plan');
  const decision = decide(memory, message);
  memory = decision.memory;
  // First to the disk, then to the outputs: a cut in between must not lose a mitigation.
  file.store(memory.kept);
  say(decision.commands);
}

function say(answer: object): void {
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}
