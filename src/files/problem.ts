/** What is wrong with a file somebody wrote: where, and what to write instead. */

export interface FileProblem {
  readonly file: string;
  /** Counted from 1. */
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

export function formatProblem(problem: FileProblem): string {
  return `${problem.file}:${problem.line}:${problem.column}: ${problem.message}`;
}

/** The outcome of reading a file: its value with warnings, or every problem found. */
export type FileOutcome<Value> =
  | { readonly ok: true; readonly value: Value; readonly warnings: readonly FileProblem[] }
  | { readonly ok: false; readonly problems: readonly FileProblem[] };
