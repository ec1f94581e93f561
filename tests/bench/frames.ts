/**
 * What a Chromium trace says of frames: the compositor reports each one with how it ended
 * (`PipelineReporter`), and a frame in which nothing was to change counts neither way. Beside that, how much
 * of a processor the page's own part of a frame took: that does not depend on what else the machine does.
 */
export const TRACE_CATEGORIES = ['-*', 'benchmark'];

export interface Frames {
  /** Reached the screen, in whole or in part. */
  readonly shown: number;
  readonly dropped: number;
  /** Shown, of all that were wanted, in percent. */
  readonly share: number;
  /** Processor time of a frame in the page's main thread; the screen asks for one every 16.7 ms. */
  readonly mainMs: { readonly median: number; readonly p90: number };
}

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  /** Thread time in microseconds. */
  readonly tdur?: number;
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
  const share = Math.round((1000 * shown) / Math.max(1, shown + dropped)) / 10;
  return { shown, dropped, share, mainMs: mainTimes(traceEvents) };
}

function mainTimes(events: readonly TraceEvent[]): Frames['mainMs'] {
  const times = events
    .filter(({ name, tdur }) => name === 'ProxyMain::BeginMainFrame' && tdur !== undefined)
    .map(({ tdur = 0 }) => tdur / 1000)
    .sort((a, b) => a - b);
  const at = (share: number): number => Math.round((times[Math.floor(times.length * share)] ?? 0) * 10) / 10;
  return { median: at(0.5), p90: at(0.9) };
}
