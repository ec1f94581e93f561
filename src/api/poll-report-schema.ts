/**
 * What GET /api/v1/poll-report answers: what a controller asks, seen from the wire. Times in ms of bench
 * time.
 */
import { z } from 'zod';

const count = z.number().int();
const moment = z.number();
const spread = z
  .object({
    count,
    meanMs: z.number(),
    minMs: z.number(),
    maxMs: z.number(),
    jitterMs: z.number().describe('Standard deviation.'),
  })
  .meta({ id: 'Spread' });

const range = z.object({
  way: z.enum(['read', 'write']),
  functionCode: count,
  address: count.describe('PDU address, from 0.'),
  quantity: count,
  requests: count,
  firstMs: moment,
  lastMs: moment,
  interval: spread.nullable(),
  settled: spread.nullable().describe('Intervals that began with a good answer.'),
  quick: count.describe('Settled intervals that were less than half of their mean.'),
  quickAtMs: moment.nullable().describe('The last of them.'),
  stepOneMs: z
    .number()
    .nullable()
    .describe('Mean change from one settled interval to the next, and to the next but one.'),
  stepTwoMs: z.number().nullable(),
  free: spread
    .nullable()
    .describe(
      'Settled intervals in which every other unit of the line answered, and those in which one did not.',
    ),
  stalled: spread.nullable(),
  stalledBy: count.describe('Requests to others without an answer, in the stalled intervals.'),
  refusals: z.array(z.object({ code: count, answers: count })),
  swapped: count.describe('Writes that make sense only with their two words exchanged.'),
  swappedAtMs: moment.nullable().describe('The last of them.'),
});

const unit = z.object({
  unitId: count,
  who: z.array(z.string()).describe('Who is planned there; empty where nobody is.'),
  requests: count,
  firstMs: moment,
  lastMs: moment,
  perSecond: z.number().nullable().describe('Rate and interval of its most asked range.'),
  interval: spread.nullable(),
  longestGapMs: z
    .number()
    .nullable()
    .describe('Longest time without a read; of the field I/O without a read of its inputs.'),
  askWithinMs: z.number(),
  gapsTooLong: count,
  gaps: z
    .object({
      openMs: z.number(),
      closedMs: z.number(),
      ownMs: z.number().describe('The longest that no waiting for silent others explains.'),
      lateAtMs: moment.nullable().describe('When the last of those ended that the rig does not allow.'),
      held: z.object({ gapMs: z.number(), waitedMs: z.number() }).nullable(),
    })
    .describe('Without a read: the one that is open, the longest of the others, and whose doing they are.'),
  functions: z.array(z.object({ code: count, name: z.string(), requests: count })),
  ranges: z.array(range),
  otherRanges: count.describe('Requests for ranges beyond those listed.'),
  exceptions: z.array(z.object({ code: count, name: z.string(), answers: count })),
  answered: count,
  unanswered: count,
  unansweredAtMs: moment.nullable().describe('The last of them.'),
  silentRunMax: count,
  waitedMs: z.number().describe('From requests without an answer to the next on the line, in all.'),
  waitsMs: z.number().nullable().describe('Shortest time to the next request after one without an answer.'),
  outrun: z
    .object({
      askedAgain: count,
      overtaken: count,
      byFault: count,
      lastMs: moment.nullable().describe('The last that was no fault’s doing.'),
      patience: spread.nullable(),
    })
    .describe(
      'Answers still on their way when the line was asked on: for the same, for something else, by a fault.',
    ),
  unsound: count.describe("Answers of the device's own with exception 01, 02 or 03."),
});

const line = z.object({
  id: z.string(),
  requests: count,
  firstMs: moment.nullable(),
  lastMs: moment.nullable(),
  thrownAway: count
    .nullable()
    .describe('Frames thrown away as broken; null where no face of the line can tell.'),
  pauses: z
    .object({ count, longestMs: z.number(), untilMs: moment.nullable() })
    .describe("In which nobody asked anybody on the line; none of them counts as anybody's gap."),
  answer: spread.nullable().describe('Time from a request to the end of its answer.'),
  units: z.array(unit),
  neverAsked: z.array(z.object({ unitId: count, who: z.string() })),
  addresses: z
    .object({ planned: z.array(count), answering: z.array(count), asked: z.array(count) })
    .describe('Of the addresses 1 to 247.'),
  commands: z
    .object({
      unitId: count,
      watchdogMs: z.number(),
      writes: count,
      firstMs: moment.nullable(),
      complete: count,
      longestGapMs: z.number().nullable(),
      lateAtMs: moment
        .nullable()
        .describe("When the last of those ended that are longer than the watchdog's."),
      neverWritten: z.array(z.object({ coil: count, commands: z.string() })),
    })
    .nullable()
    .describe('What was written to the field I/O; null where it is on another line.'),
});

export const pollReportSchema = z
  .object({
    atMs: moment,
    sinceMs: moment.nullable().describe('The first request to any line; null before it.'),
    requests: count,
    advice: z
      .array(
        z.object({
          id: z.string(),
          line: z.string().nullable(),
          unitId: count.nullable(),
          who: z.string().nullable(),
          text: z.string(),
        }),
      )
      .describe('Each in a sentence, the most telling first; empty where nothing is wrong that can be seen.'),
    unseen: z.array(z.string()).describe('What nobody can tell from requests alone.'),
    lines: z.array(line),
  })
  .meta({ id: 'PollReport' });

export type PollReport = z.infer<typeof pollReportSchema>;
