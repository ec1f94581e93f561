/** A user's command as a partner, with the folder in which it may keep what it needs over a power cut. */
import type { Partner } from './exec-controller.ts';
import { LineProcess } from './line-process.ts';

const ANSWER_WITHIN_MS = 5000;

export function commandPartner(command: string, stateDir: string): () => Partner {
  const env = { ...process.env, LEAKBENCH_STATE_DIR: stateDir };
  return () => new LineProcess(command, env, ANSWER_WITHIN_MS);
}
