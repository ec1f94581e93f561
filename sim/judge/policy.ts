/** The limits a judge measures against: the rig's own, in the words of its file. */
export interface JudgedPolicy {
  readonly setpointPercentLfl: number;
  readonly clearBelowPercentLfl: number;
  readonly holdMs: number;
  readonly silentAfterMs: number;
  readonly askWithinMs: number;
  readonly respondWithinMs: number;
  readonly fanProofWithinMs: number;
  readonly compressorMinOffMs: number;
  readonly resumeWithinMs: number;
  /** The field I/O waits so long for a complete write. */
  readonly watchdogMs: number;
  readonly latchAfter: { readonly trips: number; readonly withinMs: number } | null;
  readonly circuits: readonly string[];
}
