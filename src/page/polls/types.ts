/** What the page reads of GET /api/v1/poll-report. Times in ms of bench time. */

export interface Spread {
  readonly count: number;
  readonly meanMs: number;
  readonly jitterMs: number;
}

export interface PolledUnit {
  readonly unitId: number;
  readonly who: readonly string[];
  readonly requests: number;
  readonly interval: Spread | null;
  readonly longestGapMs: number | null;
  readonly askWithinMs: number;
  readonly ranges: readonly {
    readonly way: 'read' | 'write';
    readonly functionCode: number;
    readonly address: number;
    readonly quantity: number;
    readonly requests: number;
  }[];
  readonly otherRanges: number;
  readonly exceptions: readonly { readonly code: number; readonly name: string; readonly answers: number }[];
  readonly answered: number;
  readonly unanswered: number;
  readonly outrun: { readonly askedAgain: number; readonly overtaken: number };
}

export interface PolledLine {
  readonly id: string;
  readonly requests: number;
  readonly units: readonly PolledUnit[];
  readonly addresses: {
    readonly planned: readonly number[];
    readonly answering: readonly number[];
    readonly asked: readonly number[];
  };
}

export interface PollReport {
  readonly atMs: number;
  readonly requests: number;
  readonly advice: readonly { readonly id: string; readonly text: string }[];
  readonly unseen: readonly string[];
  readonly lines: readonly PolledLine[];
}
