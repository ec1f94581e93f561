/** A drill in virtual time under a command that is spoken to in lines. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Drill } from '../../../sim/drill/drill.ts';
import { commandPartner } from './command-partner.ts';
import { type DrillRun, runInLines } from './run.ts';

/** A fresh folder a drill for what the controller keeps over a power cut. */
export async function runCommand(one: Drill, command: string, seed: number): Promise<DrillRun> {
  const stateDir = mkdtempSync(join(tmpdir(), 'leakbench-state-'));
  try {
    return await runInLines(one, seed, commandPartner(command, stateDir));
  } finally {
    rmSync(stateDir, { recursive: true, force: true });
  }
}
