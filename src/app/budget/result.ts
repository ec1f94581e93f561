/** What a budget is told with, and the words in which every kind of output tells it. */
import type { Assumptions, Budget, Limit, LineBudget, Suggestion } from '../../budget/index.ts';
import type { Rig } from '../../rig/index.ts';

export interface BudgetResult {
  readonly rig: Rig;
  readonly budget: Budget;
  readonly advice: readonly Suggestion[];
}

/** From here on thousandths of a second are noise to a reader. */
const IN_SECONDS_FROM_MS = 10_000;

export function timeText(valueMs: number): string {
  if (!Number.isFinite(valueMs)) return 'never';
  if (valueMs >= IN_SECONDS_FROM_MS) return `${(valueMs / 1000).toFixed(2)} s`;
  return `${Math.round(valueMs)} ms`;
}

export function standing({ limits }: Budget): string {
  const broken = limits.filter(({ fits }) => !fits);
  if (broken.length === 0) return 'fits: every limit is met';
  const ids = [...new Set(broken.map(({ id }) => id))];
  return `does not fit: ${ids.join(', ')}`;
}

export function assumedText({ silent, networkMs, refreshMs }: Assumptions): string {
  const sensors = silent === 1 ? '1 sensor' : `${silent} sensors`;
  return (
    `At worst with ${sensors} silent (--silent), known so or falling silent at the worst moment; the network adds ` +
    `${timeText(networkMs)} to a request (--network); a sensor’s registers are ${timeText(refreshMs)} old at ` +
    'most (--refresh). The supervisor’s own computing is not counted.'
  );
}

function mediumText({ medium }: LineBudget): string {
  switch (medium.kind) {
    case 'network':
      return 'network';
    case 'serial':
      return `serial, ${medium.settings.baud} baud`;
    case 'gateway':
      return `gateway, ${medium.pace.baud} baud`;
  }
}

/** The longest request of a sensor, to the hundredth of a millisecond. */
function longestText({ longest, medium }: LineBudget): string {
  if (longest === null) return 'no sensors';
  return medium.kind === 'network'
    ? `${longest.answeredMs.toFixed(2)} ms`
    : `${longest.answeredMs.toFixed(2)} ms (${longest.characters} characters)`;
}

export const LINE_HEADS = [
  'line',
  'medium',
  'sensors',
  'requests',
  'longest request',
  'all answer',
  'known silent',
  'falling silent',
  'poll every',
] as const;

export function lineCells(line: LineBudget): readonly string[] {
  const { cycle } = line;
  return [
    line.id,
    mediumText(line),
    String(line.sensors),
    String(line.requests),
    longestText(line),
    timeText(cycle.bestMs),
    timeText(cycle.typicalMs),
    timeText(cycle.worstMs),
    timeText(line.pollEveryMs),
  ];
}

export const CYCLE_WORDS =
  'All answer: the best cycle. Known silent: the typical one with silent sensors, which get one spare turn each as ' +
  'time allows. Falling silent: the worst one, time-outs in their places, retries after.';

export function limitName({ id, line }: Limit): string {
  return line === null ? id : `${id} (${line})`;
}

/** "watchdog 8594 ms to 2431 ms of 5000 ms, met". */
export function figureText({ id, beforeMs, afterMs, limitMs, fits }: Suggestion['figures'][number]): string {
  const after = `${timeText(beforeMs)} to ${timeText(afterMs)} of ${timeText(limitMs)}`;
  return `${id} ${after}, ${fits ? 'met' : 'still broken'}`;
}

export function adviceSentence({ budget, advice }: BudgetResult): string | null {
  if (budget.fits) return null;
  if (advice.length === 0) return 'No change that was tried helps.';
  return advice.some(({ fits }) => fits)
    ? 'Each worked out anew on the changed rig:'
    : 'No change, and no two together, of those tried meet every limit; these come nearer:';
}
