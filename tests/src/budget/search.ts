/**
 * Trials of a rig: who gets the gas, and how its silent sensors are split; drawn, and the extremes always.
 */
import { type Budget, budgetOf } from '../../../src/budget/index.ts';
import type { ModbusSensor, Rig } from '../../../src/rig/index.ts';
import { type Extremes, measure, type Trial } from './measured.ts';

export interface Found extends Extremes {
  readonly budget: Budget;
}

/** The worst that a search with up to `silent` silent sensors finds, and what was predicted. */
export function searched(rig: Rig, silent: number, draw: () => number, phases = 1): Found {
  const budget = budgetOf(rig, { silent, networkMs: 0, refreshMs: 0 });
  const worst = { commandedMs: 0, airflowMs: 0, askedMs: 0, writtenMs: 0 };
  for (const trial of trials(rig, silent)) {
    const found = measure(rig, trial, Array.from({ length: phases }, draw));
    for (const key of ['commandedMs', 'airflowMs', 'askedMs', 'writtenMs'] as const)
      worst[key] = Math.max(worst[key], found[key]);
  }
  return { ...worst, budget };
}

function trials(rig: Rig, silent: number): readonly Trial[] {
  const sensors = rig.sensors.filter((one): one is ModbusSensor => one.kind === 'modbus');
  const own = sensors.filter((one) => one.line === sensors.at(-1)?.line);
  const [first, last] = [own[0], own.at(-1)];
  if (first === undefined || last === undefined) throw new Error('no sensor to try');
  return [
    ...splits(own, last, silent).map((split) => ({ ...split, at: last, cooling: true })),
    ...splits(own, last, silent).map((split) => ({ ...split, at: last, cooling: false })),
    ...splits(own, first, silent).map((split) => ({ ...split, at: first, cooling: false })),
  ];
}

/** The others of its line, from all falling silent to all known so, or back. */
function splits(
  own: readonly ModbusSensor[],
  at: ModbusSensor,
  silent: number,
): readonly Pick<Trial, 'known' | 'falls' | 'back'>[] {
  const others = own.filter((one) => one !== at);
  const count = Math.min(silent, others.length);
  return Array.from({ length: count + 1 }, (_, known) => {
    const [before, falls] = [others.slice(0, known), others.slice(known, count)];
    const back = known === 0 ? [] : [{ known: [], falls, back: before }];
    return [{ known: before, falls, back: [] }, ...back];
  }).flat();
}
