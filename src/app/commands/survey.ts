/** `survey RIG`: who answers on the bus, against the plan. Only reads. */
import { allUnits, parseUnits } from '../../survey/index.ts';
import { save, terminal } from '../output.ts';
import { rigOrStop } from '../rig-option.ts';
import { type LineOptions, serviceLines } from '../service/lines.ts';
import { EXIT, Stop } from '../stop.ts';
import { surveyCsv } from '../survey/csv.ts';
import { surveyHtml } from '../survey/html.ts';
import { surveyJson } from '../survey/json.ts';
import { progressOf } from '../survey/progress.ts';
import { runSurvey } from '../survey/run.ts';
import type { SurveyResult } from '../survey/survey-result.ts';
import { surveyText } from '../survey/text.ts';

export interface SurveyOptions extends LineOptions {
  readonly units?: string;
  readonly json?: true;
  readonly csv?: string;
  readonly html?: string;
}

export async function survey(rigFile: string, options: SurveyOptions): Promise<void> {
  const { rig } = rigOrStop(rigFile);
  const units = unitsOption(options.units);
  const lines = serviceLines(
    rig,
    rig.lines.map(({ id }) => id),
    options,
  );
  const interrupt = (): void => process.exit(EXIT.interrupted);
  process.once('SIGINT', interrupt).once('SIGTERM', interrupt);
  const progress = await progressOf(lines.length * units.length);
  try {
    const result = await runSurvey(rig, lines, units, progress);
    progress.end();
    await report(result, options);
    if (result.differences.length > 0) process.exitCode = EXIT.broken;
  } finally {
    progress.end();
    process.off('SIGINT', interrupt).off('SIGTERM', interrupt);
  }
}

function unitsOption(written: string | undefined): readonly number[] {
  const units = written === undefined ? allUnits() : parseUnits(written);
  if (typeof units === 'string') throw new Stop(EXIT.usage, `--units: ${units}`);
  return units;
}

async function report(result: SurveyResult, options: SurveyOptions): Promise<void> {
  if (options.csv !== undefined) save(options.csv, surveyCsv(result));
  if (options.html !== undefined) save(options.html, await surveyHtml(result));
  process.stdout.write(options.json === true ? surveyJson(result) : surveyText(result, terminal()));
}
