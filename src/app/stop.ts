/** Ends of a command that a person should understand: a sentence, and the exit code that scripts rely on. */
import { type FileProblem, formatProblem } from '../files/problem.ts';

export const EXIT = {
  held: 0,
  /** A rule or an expectation was broken. */
  broken: 1,
  /** Bad usage or a bad file. */
  usage: 2,
  /** The surroundings failed: port in use, bus unreachable, folder not writable. */
  surroundings: 3,
  /** An error of our own (EX_SOFTWARE in BSD's sysexits). */
  failed: 70,
  interrupted: 130,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

/** Thrown by commands, caught once in main: its message goes to standard error, without a stack. */
export class Stop extends Error {
  readonly exitCode: ExitCode;

  constructor(exitCode: ExitCode, message: string) {
    super(message);
    this.exitCode = exitCode;
  }
}

export function badFile(problems: readonly FileProblem[]): Stop {
  return new Stop(EXIT.usage, problems.map(formatProblem).join('\n'));
}
