/** Cases that the tests of figures share. */
import type { FiguresCase } from '../../../src/figures/index.ts';
import { type Figure, figuresFor } from '../../../src/figures/index.ts';
import { type Refrigerant, refrigerantFrom, rowNamed, STANDARD_AIR } from '../../../src/refrigerant/index.ts';

export function fluid(name: string, lflFrom = 'rd552'): Refrigerant {
  const row = rowNamed(name);
  const found = row === undefined ? undefined : refrigerantFrom(row, lflFrom);
  if (found === undefined) throw new Error(`${name} ${lflFrom}`);
  return found;
}

/** The archive room: 4.2 kg of R-32 in a circuit, 24 m2 of 2.5 m, two air changes an hour, 900 m3/h. */
export const ARCHIVE: FiguresCase = {
  refrigerant: fluid('R-32'),
  chargeKg: 4.2,
  floorM2: 24,
  heightM: 2.5,
  outsideM3PerH: 120,
  airflowM3PerH: 900,
  install: 'ceiling',
  setpointPercentLfl: 20,
};

export function figure(the: FiguresCase, id: string): Figure {
  const found = figuresFor(the, STANDARD_AIR)
    .flatMap(({ figures }) => figures)
    .find((one) => one.id === id);
  if (found === undefined) throw new Error(`no figure ${id}`);
  return found;
}

export const ids = (the: FiguresCase): readonly string[] =>
  figuresFor(the, STANDARD_AIR).flatMap(({ figures }) => figures.map(({ id }) => id));
