/** How far a survey has come, on standard error, where somebody looks on. */
import type { SingleBar } from 'cli-progress';

export interface Progress {
  /** One more address is done. */
  done(line: string, unitId: number): void;
  end(): void;
}

export const SILENT: Progress = { done: () => undefined, end: () => undefined };

export async function progressOf(total: number): Promise<Progress> {
  if (!process.stderr.isTTY) return SILENT;
  const { default: cliProgress } = await import('cli-progress');
  const bar: SingleBar = new cliProgress.SingleBar({
    format: 'asked {value} of {total} addresses [{bar}] {eta} s left, line {line}',
    stream: process.stderr,
    clearOnComplete: true,
    hideCursor: true,
  });
  bar.start(total, 0, { line: '' });
  return {
    done(line) {
      bar.increment(1, { line });
    },
    end() {
      bar.stop();
    },
  };
}
