/** The limits that a rig's times are held against, each with where it comes from. One row a limit. */
import { PUBLISHED_LIMITS, type Rig } from '../rig/index.ts';
import { longestAgainMs, madeGoodMs } from './ask-gap.ts';
import { type LineTurns, longestRequestMs } from './line-turns.ts';
import { longestPeriodMs } from './poll-wait.ts';
import { mediumOf } from './request-time.ts';
import { type Assumptions, fieldIoLine, longestLostMs, type ResponseTime } from './response.ts';

export interface Worked {
  readonly rig: Rig;
  readonly lines: readonly LineTurns[];
  readonly responses: readonly ResponseTime[];
  readonly assumptions: Assumptions;
}

export interface Limit {
  readonly id: LimitId;
  readonly what: string;
  readonly needMs: number;
  readonly limitMs: number;
  readonly fits: boolean;
  readonly source: string;
  /** The line it speaks of; null where it speaks of the whole rig. */
  readonly line: string | null;
}

export type LimitId =
  | 'respond'
  | 'airflow'
  | 'detector'
  | 'chain'
  | 'fanProof'
  | 'ask'
  | 'lostAnswer'
  | 'silence'
  | 'watchdog'
  | 'timeout'
  | 'gateway';

/** Set-point reached when exposed to a mixture at the LFL. */
const DETECTOR_AT_LFL_MS = 10_000;
/** At 25 % LFL; what the whole chain has before the controller's own time begins. */
const DETECTOR_MS = 30_000;
const PRACTICE = 'common practice, no source';

type Need = Pick<Limit, 'what' | 'needMs' | 'limitMs' | 'source'> & {
  readonly line?: string;
  /** What comes at the limit comes too late: a watchdog has expired, a silence has lasted. */
  readonly strictly?: true;
};

export function limitsOf(worked: Worked): readonly Limit[] {
  return LIMITS.flatMap(([id, needs]) =>
    needs(worked).map(({ line = null, strictly, ...need }) => ({
      id,
      ...need,
      fits: strictly ? need.needMs < need.limitMs : need.needMs <= need.limitMs,
      line,
    })),
  );
}

const LIMITS: readonly (readonly [LimitId, (worked: Worked) => readonly Need[]])[] = [
  [
    'respond',
    ({ rig: { policy }, responses }) => [
      {
        what: 'from the sensor saying gas to mitigation commanded, within respondWithin',
        needMs: worst(responses, (one) => sinceReportMs(one, one.commandedMs)),
        limitMs: policy.respondWithinMs,
        source: published('respondWithin'),
      },
    ],
  ],
  [
    'airflow',
    ({ rig: { policy }, responses }) => [
      {
        what: 'the same until air moves, from a fan at rest: stricter than a judge, who counts commands',
        needMs: worst(responses, (one) => sinceReportMs(one, one.airflowMs)),
        limitMs: policy.respondWithinMs,
        source: published('respondWithin'),
      },
    ],
  ],
  [
    'detector',
    ({ responses }) => [
      {
        what: 'a step to the LFL makes the sensor say gas',
        needMs: worst(responses, (one) => one.reportedMs),
        limitMs: DETECTOR_AT_LFL_MS,
        source: 'UL 60335-2-40 (second hand)',
      },
    ],
  ],
  [
    'chain',
    ({ rig: { policy }, responses }) => [
      {
        what: 'from gas to mitigation commanded: 30 s for the detector, then respondWithin',
        needMs: worst(responses, (one) => one.commandedMs),
        limitMs: DETECTOR_MS + policy.respondWithinMs,
        source: `IEC 60335-2-40 Annex LL (30 s, second hand); ${published('respondWithin')}`,
      },
    ],
  ],
  [
    'fanProof',
    ({ rig, lines, assumptions }) => {
      const { fieldIo, turns } = fieldIoLine(rig, lines);
      const head = { before: 0, after: turns.sensors.length };
      const seenMs = longestPeriodMs(turns, head, assumptions.silent) + fieldIo.inputs.answeredMs;
      return [
        {
          what: 'from the fan’s command until its air is seen, within fanProofWithin',
          needMs: fieldIo.write.answeredMs + rig.fan.spinUpMs + seenMs,
          limitMs: rig.policy.fanProofWithinMs,
          source: published('fanProofWithin'),
        },
      ];
    },
  ],
  [
    'ask',
    ({ rig, lines, assumptions }) =>
      perLine(lines, (turns) => ({
        what: 'between two requests to a sensor, silent or not, one changed command among them, within askWithin',
        needMs:
          otherCommandMs(turns) +
          Math.max(
            longestSensorPeriodMs(turns, assumptions.silent),
            longestAgainMs(turns, assumptions.silent),
          ),
        limitMs: rig.policy.askWithinMs,
        source: PRACTICE,
      })),
  ],
  [
    'lostAnswer',
    ({ rig, lines }) =>
      perLine(lines, (turns) => ({
        what: 'one lost answer is made good before silentAfter, or it counts as silence',
        needMs: otherCommandMs(turns) + madeGoodMs(turns),
        limitMs: rig.policy.silentAfterMs,
        source: PRACTICE,
        strictly: true,
      })),
  ],
  [
    'silence',
    ({ rig, lines, assumptions }) => {
      const { fieldIo, turns: ioTurns } = fieldIoLine(rig, lines);
      const { silentAfterMs, respondWithinMs } = rig.policy;
      // The silence becomes too long at any moment: the line is in the middle of some turn.
      const writeMs = longestLostMs(ioTurns) + fieldIo.write.answeredMs;
      return perLine(lines, (turns) => ({
        what: 'from a sensor falling silent to mitigation: silentAfter, then respondWithin',
        needMs: longestSensorPeriodMs(turns, assumptions.silent) + silentAfterMs + writeMs,
        limitMs: silentAfterMs + respondWithinMs,
        source: published('respondWithin'),
      }));
    },
  ],
  [
    'watchdog',
    ({ rig, lines, assumptions }) => {
      const { turns } = fieldIoLine(rig, lines);
      return [
        {
          what: 'between two writes of all commands, within the field I/O’s watchdog',
          needMs: longestPeriodMs(turns, { before: turns.sensors.length, after: 0 }, assumptions.silent),
          limitMs: rig.fieldIo.watchdogMs,
          source: `fieldIo.watchdog of the rig; ${PRACTICE}`,
          strictly: true,
          line: turns.line.id,
        },
      ];
    },
  ],
  [
    'timeout',
    ({ lines }) =>
      lines.map((turns) => ({
        what: 'the longest request and its answer, within the line’s timeout',
        needMs: longestRequestMs(turns),
        limitMs: turns.line.timeoutMs,
        source: 'timeout of the line',
        line: turns.line.id,
      })),
  ],
  [
    'gateway',
    ({ lines }) =>
      perLine(
        lines.filter(({ line }) => mediumOf(line).kind === 'gateway'),
        (turns) => ({
          what: 'the gateway gives up before its client does, or it is busy when the next request comes',
          needMs: Math.max(...turns.sensors.flatMap(({ requests }) => requests.map((one) => one.silentMs))),
          limitMs: turns.line.timeoutMs,
          source: `timeout and pace of the line; ${PRACTICE}`,
        }),
      ),
  ],
];

function worst(responses: readonly ResponseTime[], need: (one: ResponseTime) => number): number {
  return Math.max(...responses.map(need));
}

function sinceReportMs({ reportedMs }: ResponseTime, untilMs: number): number {
  return Number.isFinite(untilMs) ? untilMs - reportedMs : untilMs;
}

/** The rig's own setting, and the source that it is warned with where it goes past it. */
function published(setting: string): string {
  const row = PUBLISHED_LIMITS.find(({ path }) => path.at(-1) === setting);
  if (row === undefined) throw new Error(`no published limit for ${setting}`);
  return `${setting} of the rig; published: ${row.source}`;
}

/** Of lines that have sensors. */
function perLine(
  lines: readonly LineTurns[],
  need: (turns: LineTurns) => Omit<Need, 'line'>,
): readonly Need[] {
  return lines
    .filter(({ sensors }) => sensors.length > 0)
    .map((turns) => ({ ...need(turns), line: turns.line.id }));
}

/** A command that changes meanwhile goes out before anything else. */
function otherCommandMs({ fieldIo }: LineTurns): number {
  return fieldIo?.write.answeredMs ?? 0;
}

/** Whichever of the sensors waits longest. */
function longestSensorPeriodMs(turns: LineTurns, silent: number): number {
  const last = turns.sensors.length - 1;
  return Math.max(
    ...turns.sensors.map((_, before) => longestPeriodMs(turns, { before, after: last - before }, silent)),
  );
}
