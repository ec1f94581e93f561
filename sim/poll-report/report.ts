/**
 * The poll report: what a controller asks, seen from the wire. Times in ms of bench time.
 *
 * Its fields are plain and writable because it goes out as one JSON document; nobody changes it once made.
 */
import type { Spread } from './running.ts';

export interface PollReport {
  atMs: number;
  /** The first request to any line; null before it. */
  sinceMs: number | null;
  requests: number;
  advice: Advice[];
  /** What nobody can tell from requests alone, so that silence about it proves nothing. */
  unseen: string[];
  lines: LineReport[];
}

export interface Advice {
  /** The row of the advice table. */
  id: string;
  line: string | null;
  unitId: number | null;
  /** Whom it concerns, where the rig knows. */
  who: string | null;
  text: string;
}

export interface LineReport {
  id: string;
  requests: number;
  firstMs: number | null;
  lastMs: number | null;
  /** Frames that the line's faces threw away as broken; null where its faces cannot tell. */
  thrownAway: number | null;
  /** In which nobody asked anybody on the line; none of them counts as anybody's gap. */
  pauses: { count: number; longestMs: number; untilMs: number | null };
  /** Time from a request to the end of its answer, where no fault had a hand in it. */
  answer: Spread | null;
  units: UnitReport[];
  neverAsked: { unitId: number; who: string }[];
  /** Of the addresses 1 to 247. */
  addresses: { planned: number[]; answering: number[]; asked: number[] };
  /** null where the field I/O is on another line. */
  commands: CommandReport | null;
}

export interface UnitReport {
  unitId: number;
  /** Who is planned there: nobody, one, or two where the rig allows it. */
  who: string[];
  requests: number;
  firstMs: number;
  lastMs: number;
  /** Of its most asked range. */
  perSecond: number | null;
  /** Between two requests for its most asked range. */
  interval: Spread | null;
  /** Without a read, up to the last request on the line; of the field I/O without a read of its inputs. */
  longestGapMs: number | null;
  askWithinMs: number;
  gapsTooLong: number;
  gaps: {
    /** The one that the last request on the line found open; 0 where waiting for others explains it. */
    openMs: number;
    /** The longest of the others. */
    closedMs: number;
    /** The longest that no waiting for others explains, and when the last too long of those ended. */
    ownMs: number;
    lateAtMs: number | null;
    /** The longest too long that it does explain. */
    held: { gapMs: number; waitedMs: number } | null;
  };
  functions: { code: number; name: string; requests: number }[];
  ranges: RangeReport[];
  /** Requests for ranges beyond those listed. */
  otherRanges: number;
  exceptions: { code: number; name: string; answers: number }[];
  answered: number;
  unanswered: number;
  unansweredAtMs: number | null;
  /** Unanswered without an answer in between. */
  silentRunMax: number;
  /** Time from requests without an answer to the next on the line, in all. */
  waitedMs: number;
  /** Shortest time to the next request after one without an answer; null where all were answered. */
  waitsMs: number | null;
  outrun: {
    /** The same was asked again while the answer was on its way. */
    askedAgain: number;
    /** Something else was asked on the line while the answer was on its way. */
    overtaken: number;
    /** Either, where a fault had made the answer late. */
    byFault: number;
    /** The last of the others. */
    lastMs: number | null;
    /** How long whoever asked again had waited; null where nobody did. */
    patience: Spread | null;
  };
  /** Answers of the device's own with exception 01, 02 or 03. */
  unsound: number;
}

export interface RangeReport {
  way: 'read' | 'write';
  functionCode: number;
  address: number;
  quantity: number;
  requests: number;
  firstMs: number;
  lastMs: number;
  interval: Spread | null;
  /** Intervals that began with a good answer. */
  settled: Spread | null;
  /** Settled intervals that were less than half of their mean. */
  quick: number;
  quickAtMs: number | null;
  /** Mean change from one settled interval to the next, and to the next but one. */
  stepOneMs: number | null;
  stepTwoMs: number | null;
  /** Settled intervals in which every other unit of the line answered, and those in which one did not. */
  free: Spread | null;
  stalled: Spread | null;
  /** Requests to others without an answer, in the stalled intervals. */
  stalledBy: number;
  refusals: { code: number; answers: number }[];
  /** Writes that make sense only with their two words exchanged. */
  swapped: number;
  swappedAtMs: number | null;
}

export interface CommandReport {
  unitId: number;
  watchdogMs: number;
  writes: number;
  firstMs: number | null;
  /** Complete writes: every command coil at least once since the last. */
  complete: number;
  longestGapMs: number | null;
  /** When the last of those ended that are longer than the watchdog's. */
  lateAtMs: number | null;
  neverWritten: { coil: number; commands: string }[];
}
