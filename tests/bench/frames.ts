/**
 * What a Chromium trace says of frames: the compositor reports each one with how it ended
 * (`PipelineReporter`, category `benchmark`), and a frame in which nothing was to change counts neither way.
 */
export const TRACE_CATEGORIES = ['-*', 'benchmark'];

export interface Frames {
  /** Reached the screen, in whole or in part. */
  readonly shown: number;
  readonly dropped: number;
  /** Shown, of all that were wanted. */
  readonly share: number;
}

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly args: { readonly frame_reporter?: { readonly state: string; readonly frame_type?: string } };
}

export function framesOf(trace: Buffer): Frames {
  const { traceEvents } = JSON.parse(trace.toString('utf8')) as {
    readonly traceEvents: readonly TraceEvent[];
  };
  // A frame whose work comes late is reported twice, once forked off from itself.
  const states = traceEvents
    .filter(({ name, ph }) => name === 'PipelineReporter' && ph === 'b')
    .map(({ args }) => args.frame_reporter)
    .filter((reporter) => reporter !== undefined && reporter.frame_type !== 'FORKED')
    .map((reporter) => reporter?.state ?? '');
  const count = (state: string): number => states.filter((one) => one.startsWith(state)).length;
  const [shown, dropped] = [count('STATE_PRESENTED'), count('STATE_DROPPED')];
  return { shown, dropped, share: shown / Math.max(1, shown + dropped) };
}
