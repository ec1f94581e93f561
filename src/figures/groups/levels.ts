/** The levels that matter, in every unit that people write, at the temperature and pressure asked for. */
import { type AirConditions, inUnit, toKgPerM3 } from '../../refrigerant/index.ts';
import type { FiguresCase } from '../case.ts';
import { amount, type Figure, type FigureGroup, input, words } from '../figure.ts';

export function levelFigures(the: FiguresCase, air: AirConditions): FigureGroup {
  const levels = [
    ['lfl', 'Lower flammability limit', 100, 'the LFL followed here'],
    ['quarter', 'Greatest setpoint of a detector', 25, 'Real Decreto 552/2019 IF-16 3.1.4'],
    ['setpoint', 'Setpoint of this bench', the.setpointPercentLfl, 'the rig’s own choice'],
  ] as const;
  return {
    id: 'levels',
    title: 'Levels in every unit',
    about: `In air of ${air.celsius} °C at ${air.kPa} kPa, as an ideal gas; a limit is held as a share of the volume.`,
    figures: levels.map(([id, name, percent, standard]): Figure => {
      const { refrigerant } = the;
      const level = toKgPerM3({ value: percent, unit: '%LFL' }, refrigerant, air);
      const ppm = amount(inUnit(level, 'ppm', refrigerant, air), 'ppm');
      const share = amount(inUnit(level, '%vol', refrigerant, air), 'percentVol');
      const pounds = Number(inUnit(level, 'lb/1000ft3', refrigerant, air).toPrecision(4));
      const grams = Number(inUnit(level, 'g/m3', refrigerant, air).toPrecision(4));
      const over = id === 'setpoint' && percent > 25 + 1e-9;
      return {
        id: `level.${id}`,
        name,
        standard,
        sure: id === 'quarter' ? 'seen' : 'computed',
        formula: 'C = %LFL/100 · LFL; φ = C · Vm / M',
        inputs: [
          input('level', percent, 'percentLfl'),
          input('M', refrigerant.molarMassGPerMol, 'molarMass'),
        ],
        result: amount(level, 'concentration'),
        standing: id === 'setpoint' ? (over ? 'outside' : 'within') : 'told',
        words: words`${ppm}, ${share}, ${String(grams)} g/m3, ${String(pounds)} lb/1000ft3`,
      };
    }),
  };
}
