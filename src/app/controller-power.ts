/** The controller's own power, as a step of the bench cuts and restores it. */
import { spawn } from 'node:child_process';
import { killGroup } from './process-group.ts';
import { Turns } from './turns.ts';

export interface ControllerPower {
  /** Called at each change, in order; resolves once it is done. */
  set(on: boolean): Promise<void>;
  close(): Promise<void>;
}

/** In real time; what takes longer hangs, and would hold up every later change. */
interface PowerLimits {
  readonly runMs: number;
  /** Once the bench ends, for all that is under way. */
  readonly endMs: number;
}
const LIMITS: PowerLimits = { runMs: 30_000, endMs: 3000 };

/** An outside controller's power: a command of the user's, run with `off` or `on`. */
export function powerByCommand(
  command: string,
  failed: (reason: string) => void,
  { runMs, endMs }: PowerLimits = LIMITS,
): ControllerPower {
  const turns = new Turns();
  const over = new AbortController();
  return {
    set: (on) =>
      turns.take(async () => {
        if (over.signal.aborted) return;
        const problem = await run(`${command} ${on ? 'on' : 'off'}`, runMs, over.signal);
        if (problem !== null) failed(problem);
      }),
    close: async () => {
      const timer = setTimeout(() => {
        over.abort();
      }, endMs);
      await turns.over();
      clearTimeout(timer);
      over.abort();
    },
  };
}

/** What went wrong, or null. */
function run(line: string, runMs: number, over: AbortSignal): Promise<string | null> {
  const child = spawn(line, { shell: true, detached: true, stdio: ['ignore', 'ignore', 'inherit'] });
  return new Promise((resolve) => {
    const kill = (why: string): void => {
      ended(`did not end ${why}: it was killed, with all that it had started`);
      killGroup(child);
    };
    const atOver = (): void => {
      kill('before the bench');
    };
    const timer = setTimeout(kill, runMs, `within ${runMs / 1000} s`);
    over.addEventListener('abort', atOver);
    // Whatever ends this process must not leave it behind.
    process.once('exit', atOver);
    const ended = (problem: string | null): void => {
      clearTimeout(timer);
      over.removeEventListener('abort', atOver);
      process.off('exit', atOver);
      resolve(problem);
    };
    child.on('error', (error) => {
      ended(error.message);
    });
    child.on('exit', (code) => {
      ended(code === 0 ? null : `ended with code ${code ?? 'none'}`);
    });
  });
}
