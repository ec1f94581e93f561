/** `figures [RIG]`: what is published for a charge in a room, beside what the bench computes for it. */
import { figuresFor, type Install, outsideOf, type UnitSystem } from '../../figures/index.ts';
import type { AirConditions } from '../../refrigerant/index.ts';
import { benchCourses } from '../figures/bench-courses.ts';
import { caseOfRig } from '../figures/case-of-rig.ts';
import { figuresHtml } from '../figures/html.ts';
import { figuresJson } from '../figures/json.ts';
import type { FiguresResult } from '../figures/result.ts';
import { type CaseOptions, rigOfOptions } from '../figures/rig-of-options.ts';
import { figuresText } from '../figures/text.ts';
import { unitsOfLocale } from '../figures/units-of-locale.ts';
import { save, terminal } from '../output.ts';
import { rigOrStop } from '../rig-option.ts';
import { EXIT, Stop } from '../stop.ts';

export interface FiguresOptions extends CaseOptions {
  readonly install?: Install;
  readonly celsius: string;
  readonly kilopascal: string;
  readonly units?: UnitSystem;
  readonly json?: true;
  readonly html?: string;
}

export async function figures(rigFile: string | undefined, options: FiguresOptions): Promise<void> {
  const air = airOption(options);
  const asked =
    rigFile === undefined ? rigOfOptions(options) : { rig: rigOfFile(rigFile, options), airflowTold: true };
  const the = caseOfRig(asked.rig, { install: options.install ?? null, airflowTold: asked.airflowTold });
  const groups = figuresFor(the, air);
  const result: FiguresResult = {
    the,
    rig: asked.rig,
    groups,
    outside: outsideOf(groups),
    bench: benchCourses(asked.rig),
    units: options.units ?? unitsOfLocale(process.env),
  };
  if (options.html !== undefined) save(options.html, await figuresHtml(result));
  process.stdout.write(options.json === true ? figuresJson(result) : figuresText(result, terminal()));
}

const WITHOUT_RIG = ['refrigerant', 'lflFrom', 'charge', 'area', 'height', 'outsideAir', 'airflow'] as const;

function rigOfFile(file: string, options: FiguresOptions): ReturnType<typeof rigOrStop>['rig'] {
  const both = WITHOUT_RIG.find((option) => options[option] !== undefined);
  if (both === undefined) return rigOrStop(file).rig;
  const flag = both.replace(/[A-Z]/gu, (letter) => `-${letter.toLowerCase()}`);
  throw new Stop(EXIT.usage, `--${flag} is for figures without a rig; leave it or ${file} out`);
}

const CELSIUS = [-60, 100] as const;
const KILOPASCAL = [40, 120] as const;

function airOption({ celsius, kilopascal }: FiguresOptions): AirConditions {
  return {
    celsius: numberOption('celsius', celsius, CELSIUS),
    kPa: numberOption('kilopascal', kilopascal, KILOPASCAL),
  };
}

function numberOption(option: string, text: string, [least, most]: readonly [number, number]): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= least && value <= most) return value;
  throw new Stop(EXIT.usage, `--${option} ${text}: takes a number, ${least} to ${most}`);
}
