/**
 * What GET /api/v1/poll-report answers: what a controller asks, seen from the wire. Times in ms of bench
 * time.
 */
import { z } from 'zod';

const count = z.number().int();
const moment = z.number();
const spread = z.object({
  count,
  meanMs: z.number(),
  minMs: z.number(),
  maxMs: z.number(),
  /** Standard deviation. */
  jitterMs: z.number(),
});

const range = z.object({
  way: z.enum(['read', 'write']),
  functionCode: count,
  /** PDU address, from 0. */
  address: count,
  quantity: count,
  requests: count,
  firstMs: moment,
  lastMs: moment,
  interval: spread.nullable(),
  /** Intervals that began with a good answer. */
  settled: spread.nullable(),
  /** Settled intervals that were less than half of their mean. */
  quick: count,
  /** Mean change from one settled interval to the next, and to the next but one. */
  stepOneMs: z.number().nullable(),
  stepTwoMs: z.number().nullable(),
  /** Settled intervals in which every other unit of the line answered, and those in which one did not. */
  free: spread.nullable(),
  stalled: spread.nullable(),
  /** Requests to others without an answer, in the stalled intervals. */
  stalledBy: count,
  refusals: z.array(z.object({ code: count, answers: count })),
  /** Writes that make sense only with their two words exchanged. */
  swapped: count,
});

const unit = z.object({
  unitId: count,
  /** Who is planned there; empty where nobody is. */
  who: z.array(z.string()),
  requests: count,
  firstMs: moment,
  lastMs: moment,
  /** Rate and interval of its most asked range. */
  perSecond: z.number().nullable(),
  interval: spread.nullable(),
  /** Longest time without a read; of the field I/O without a read of its inputs. */
  longestGapMs: z.number().nullable(),
  askWithinMs: z.number(),
  gapsTooLong: count,
  functions: z.array(z.object({ code: count, name: z.string(), requests: count })),
  ranges: z.array(range),
  /** Requests for ranges beyond those listed. */
  otherRanges: count,
  exceptions: z.array(z.object({ code: count, name: z.string(), answers: count })),
  answered: count,
  unanswered: count,
  silentRunMax: count,
  /** Shortest time to the next request after one without an answer. */
  waitsMs: z.number().nullable(),
  /** Answers still on their way when the line was asked on: for the same, for something else, by a fault. */
  outrun: z.object({ askedAgain: count, overtaken: count, byFault: count, patience: spread.nullable() }),
  /** Answers of the device's own with exception 01, 02 or 03. */
  unsound: count,
});

const line = z.object({
  id: z.string(),
  requests: count,
  firstMs: moment.nullable(),
  lastMs: moment.nullable(),
  /** Frames thrown away as broken; null where no face of the line can tell. */
  thrownAway: count.nullable(),
  /** Time from a request to the end of its answer. */
  answer: spread.nullable(),
  units: z.array(unit),
  neverAsked: z.array(z.object({ unitId: count, who: z.string() })),
  /** Of the addresses 1 to 247. */
  addresses: z.object({ planned: z.array(count), answering: z.array(count), asked: z.array(count) }),
  /** What was written to the field I/O; null where it is on another line. */
  commands: z
    .object({
      unitId: count,
      watchdogMs: z.number(),
      writes: count,
      firstMs: moment.nullable(),
      complete: count,
      longestGapMs: z.number().nullable(),
      neverWritten: z.array(z.object({ coil: count, commands: z.string() })),
    })
    .nullable(),
});

export const pollReportSchema = z.object({
  atMs: moment,
  /** The first request to any line; null before it. */
  sinceMs: moment.nullable(),
  requests: count,
  /** Each in a sentence, the most telling first; empty where nothing is wrong that can be seen from here. */
  advice: z.array(
    z.object({
      id: z.string(),
      line: z.string().nullable(),
      unitId: count.nullable(),
      who: z.string().nullable(),
      text: z.string(),
    }),
  ),
  /** What nobody can tell from requests alone. */
  unseen: z.array(z.string()),
  lines: z.array(line),
});

export type PollReport = z.infer<typeof pollReportSchema>;
