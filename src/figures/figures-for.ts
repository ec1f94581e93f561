/** All figures of a case, group by group, and which of them it does not keep to. */
import type { AirConditions } from '../refrigerant/index.ts';
import { classOf, type FiguresCase } from './case.ts';
import type { Figure, FigureGroup } from './figure.ts';
import { airflowFigures } from './groups/airflow.ts';
import { areaFigures } from './groups/area.ts';
import { capFigures } from './groups/caps.ts';
import { levelFigures } from './groups/levels.ts';
import { lflFigures } from './groups/lfl.ts';
import { ventilationFigures } from './groups/ventilation.ts';

export function figuresFor(the: FiguresCase, air: AirConditions): readonly FigureGroup[] {
  return [
    lflFigures(the),
    levelFigures(the, air),
    capFigures(the),
    areaFigures(the),
    airflowFigures(the),
    // Restricted systems are classes A1 and A2L (RD 552/2019 IF-04 App. 4, seen).
    ...(classOf(the.refrigerant) === 'A2L' ? [ventilationFigures(the)] : []),
  ];
}

export function outsideOf(groups: readonly FigureGroup[]): readonly Figure[] {
  return groups.flatMap(({ figures }) => figures).filter(({ standing }) => standing === 'outside');
}
