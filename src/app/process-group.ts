/** A command in a process group of its own (`detached`): ending it ends whatever it started. */
import type { ChildProcess } from 'node:child_process';

export function killGroup({ pid }: ChildProcess): void {
  if (pid === undefined) return;
  try {
    process.kill(-pid, 'SIGKILL');
  } catch {
    // All of it is gone already.
  }
}
