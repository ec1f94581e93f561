/** `figures --json`: everything, every number with its unit; curves thinned to what can be drawn. */
import { type Amount, type Figure, shown, wordsText } from '../../figures/index.ts';
import { CAUTIONS } from '../cautions.ts';
import type { BenchCourse, Sample } from './bench-courses.ts';
import { benchAbout } from './bench-words.ts';
import { type FiguresResult, outsideSentence } from './result.ts';
import { stepResponses } from './step-response.ts';

export function figuresJson(result: FiguresResult): string {
  const { rig, the, groups, outside, bench, units } = result;
  const told = (value: number, measure: Amount['measure']) => shown({ value, measure }, units);
  const { name, lflKgPerM3, source } = rig.refrigerant;
  const document = {
    rig: rig.name,
    units,
    case: {
      refrigerant: name,
      lfl: { ...told(lflKgPerM3, 'concentration'), source },
      charge: told(the.chargeKg, 'mass'),
      floor: told(the.floorM2, 'area'),
      height: told(the.heightM, 'length'),
      outsideAir: told(the.outsideM3PerH, 'airflow'),
      airflow: the.airflowM3PerH === null ? null : told(the.airflowM3PerH, 'airflow'),
      install: the.install,
    },
    groups: groups.map(({ id, title, about, figures }) => ({
      id,
      title,
      about,
      figures: figures.map((figure) => figureOf(figure, result)),
    })),
    bench: { about: benchAbout(result), courses: bench.map(courseOf), stepResponses: stepResponses(rig) },
    outside: outside.map(({ id }) => id),
    sentence: outsideSentence(outside),
    cautions: CAUTIONS,
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

function figureOf(figure: Figure, { units }: FiguresResult): unknown {
  const { inputs, result, words, ...rest } = figure;
  return {
    ...rest,
    inputs: inputs.map(({ name, amount }) => ({ name, ...shown(amount, units) })),
    result: result === null ? null : shown(result, units),
    words: wordsText(words, units),
  };
}

function courseOf({ fan, places, sensors, clearAtMs }: BenchCourse): unknown {
  return {
    fan,
    clearAtMs,
    places: places.map(({ place, peak, truth }) => ({
      place,
      peakPercentLfl: peak.value,
      peakAtMs: peak.atMs,
      gasPercentLfl: pairs(truth),
    })),
    sensors: sensors.map(({ id, place, quarterAtMs, reading }) => ({
      id,
      place,
      quarterLflAtMs: quarterAtMs,
      readingPercentLfl: pairs(reading),
    })),
  };
}

const EVERY_MS = 10_000;

/** [seconds, %LFL] every 10 s. */
function pairs(samples: readonly Sample[]): readonly (readonly [number, number])[] {
  return samples
    .filter(({ atMs }) => atMs % EVERY_MS === 0)
    .map(({ atMs, value }) => [atMs / 1000, Number(value.toPrecision(6))]);
}
