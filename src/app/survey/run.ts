/** Carries a survey out: the lines side by side, the addresses of each one after the other. */
import { addressText, type Rig } from '../../rig/index.ts';
import {
  answersAlike,
  compare,
  type Exchange,
  exchangeOn,
  inWords,
  knownCodecs,
  LineLost,
  lookAt,
  perform,
  plannedAt,
  type Seen,
  spotsOf,
} from '../../survey/index.ts';
import { shippedCodecs } from '../service/known-profiles.ts';
import { lineGone, type ServiceLine } from '../service/lines.ts';
import { EXIT, Stop } from '../stop.ts';
import type { Progress } from './progress.ts';
import { surveyRows } from './rows.ts';
import type { SurveyResult } from './survey-result.ts';

const READ_ONLY = 'A survey only reads: nothing was written.';

/** Throws Stop where a line cannot be surveyed. */
export async function runSurvey(
  rig: Rig,
  lines: readonly ServiceLine[],
  units: readonly number[],
  progress: Progress,
): Promise<SurveyResult> {
  const at = new Date();
  const sight = await sightOf(rig, lines, units, progress);
  const differences = compare(rig, sight).map((finding) => inWords(finding));
  return {
    rig,
    at,
    lines: lines.map(({ line, address }) => ({ line, address: addressText(address), units })),
    rows: surveyRows(rig, sight, differences),
    differences,
  };
}

/** What answers at these addresses. Throws Stop where a line cannot be surveyed. */
export async function sightOf(
  rig: Rig,
  lines: readonly ServiceLine[],
  units: readonly number[],
  progress: Progress,
): Promise<readonly Seen[]> {
  const exchanges = lines.map((line) => ({ line, exchange: exchangeOn(line.address) }));
  try {
    const sights = await Promise.all(
      exchanges.map(({ line, exchange }) => surveyLine(rig, line, exchange, units, progress)),
    );
    return sights.flat();
  } finally {
    // One line that cannot be surveyed ends the others too.
    for (const { exchange } of exchanges) exchange.close();
  }
}

async function surveyLine(
  rig: Rig,
  { line, address, timeoutMs }: ServiceLine,
  exchange: Exchange,
  units: readonly number[],
  progress: Progress,
): Promise<readonly Seen[]> {
  const known = knownCodecs(rig, shippedCodecs());
  const isPlanned = (unit: number): boolean => plannedAt(rig, line, unit).kind !== 'nobody';
  try {
    if (await perform(answersAlike(isPlanned), exchange, timeoutMs)) throw allTheSame(exchange.address);
    const sight: Seen[] = [];
    for (const spot of spotsOf(rig, line, units)) {
      sight.push(await perform(lookAt(spot, known), exchange, timeoutMs));
      progress.done(line, spot.unitId);
    }
    if (sight.every(({ found }) => found.kind === 'noPath')) throw noPath(line, exchange.address);
    return sight;
  } catch (error) {
    throw error instanceof LineLost ? lineGone(address, error.message, READ_ONLY) : error;
  }
}

function allTheSame(address: string): Stop {
  return new Stop(
    EXIT.surroundings,
    `everything at ${address} answers the same, at addresses where nobody is planned too: whoever listens there ` +
      `does not look at the unit id, so that no survey can tell its devices apart; connect to the line itself, ` +
      `or to a gateway that passes the unit id on. ${READ_ONLY}`,
  );
}

function noPath(line: string, address: string): Stop {
  return new Stop(
    EXIT.surroundings,
    `the gateway at ${address} says of every address that it knows no way there (exception 0A): ` +
      `see which of its ports line ${line} is on, and that it is switched on. ${READ_ONLY}`,
  );
}
