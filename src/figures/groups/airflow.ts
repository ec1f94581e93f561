/** Airflow that keeps an air stream, or an enclosure, from burning while a charge leaks in 4 min. */
import { type FiguresCase, volumeM3 } from '../case.ts';
import { amount, type Figure, type FigureGroup, input, words } from '../figure.ts';
import { enclosureAirflow, LEAKS_PER_H, streamAirflow } from '../formulas.ts';

export function airflowFigures(the: FiguresCase): FigureGroup {
  return {
    id: 'airflow',
    title: 'Least airflow',
    about:
      'The whole charge of a circuit leaks in 4 min. Circulation mixes and removes nothing: only outside air takes refrigerant away.',
    figures: [...STREAMS.map((form) => stream(the, form)), enclosure(the)],
  };
}

/** Both published forms: the second is the first at half the concentration. */
const STREAMS = [
  {
    id: 'airflow.half',
    standard: 'IEC 60335-2-40 Annex GG family',
    formula: 'Q = 30 · m / LFL',
    fraction: 0.5,
  },
  {
    id: 'airflow.quarter',
    standard: 'ANSI/ASHRAE 15 7.6.4; in inch-pound Q[cfm] = 1000 · M[lb] / LFL[lb/1000 ft3]',
    formula: 'Q = 60 · m / LFL',
    fraction: 0.25,
  },
] as const;

function stream(the: FiguresCase, { id, standard, formula, fraction }: (typeof STREAMS)[number]): Figure {
  const { chargeKg, airflowM3PerH } = the;
  const lfl = the.refrigerant.lflKgPerM3;
  const least = streamAirflow(chargeKg, lfl, fraction);
  const keeps = airflowM3PerH !== null && airflowM3PerH >= least;
  return {
    id,
    name: `Circulation that keeps the stream at ${100 * fraction} %LFL`,
    standard,
    sure: 'memory',
    formula,
    inputs: [input('m', chargeKg, 'mass'), input('LFL', lfl, 'concentration')],
    result: amount(least, 'airflow'),
    standing: airflowM3PerH === null ? 'told' : keeps ? 'within' : 'outside',
    words:
      airflowM3PerH === null
        ? words`the airflow of the unit was not told (--airflow)`
        : words`the fan moves ${amount(airflowM3PerH, 'airflow')}, which makes ${amount(streamPercent(the, airflowM3PerH), 'percentLfl')} in clean air`,
  };
}

/** What the stream comes to while the charge leaks in 4 min into an airflow of clean air. */
function streamPercent({ chargeKg, refrigerant }: FiguresCase, airflowM3PerH: number): number {
  return (100 * LEAKS_PER_H * chargeKg) / (airflowM3PerH * refrigerant.lflKgPerM3);
}

function enclosure(the: FiguresCase): Figure {
  const { vapourKgPerM3 } = the.refrigerant;
  return {
    id: 'airflow.enclosure',
    name: 'Ventilated enclosure, to outdoors',
    standard: 'Real Decreto 552/2019 IF-04 3.3.3',
    sure: 'seen',
    formula: 'Q = 15 · S · (m / ρ), S = 4, at the least 2 m3/h',
    inputs: [input('m', the.chargeKg, 'mass'), input('ρ', vapourKgPerM3, 'concentration')],
    result: amount(enclosureAirflow(the.chargeKg, vapourKgPerM3), 'airflow'),
    standing: 'told',
    words: words`with the enclosure at least 20 Pa below the room, and not larger than a tenth of it: ${amount(volumeM3(the) / 10, 'volume')}`,
  };
}
