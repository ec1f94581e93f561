/** The controller's own power, as a step of the bench cuts and restores it. */
import { spawn } from 'node:child_process';
import { Turns } from './turns.ts';

export interface ControllerPower {
  /** Called at each change, in order; resolves once it is done. */
  set(on: boolean): Promise<void>;
  close(): Promise<void>;
}

/** An outside controller's power: a command of the user's, run with `off` or `on`. */
export function powerByCommand(command: string, failed: (reason: string) => void): ControllerPower {
  const turns = new Turns();
  return {
    set: (on) => turns.take(() => run(command, on ? 'on' : 'off', failed)),
    close: () => turns.over(),
  };
}

function run(command: string, word: 'on' | 'off', failed: (reason: string) => void): Promise<void> {
  return new Promise((resolve) => {
    const child = spawn(`${command} ${word}`, { shell: true, stdio: ['ignore', 'ignore', 'inherit'] });
    child.on('error', (error) => {
      failed(error.message);
      resolve();
    });
    child.on('exit', (code) => {
      if (code !== 0) failed(`ended with code ${code ?? 'none'}`);
      resolve();
    });
  });
}
