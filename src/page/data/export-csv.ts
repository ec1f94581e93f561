/**
 * All that is kept of a run as a table: a row for each change of each signal, in the order of
 * time. A program folds the rows of a signal into its steps; a person filters by the column `signal`.
 */
import { csvText } from '../../text/csv.ts';
import { CAUTION } from '../texts/index.ts';
import type { RigView } from '../types.ts';
import type { History, WallTime } from './history.ts';
import type { Items } from './series.ts';
import { indexInForce } from './timed.ts';

interface Row {
  readonly atMs: number;
  /** Such as "true gas coil-a". */
  readonly signal: string;
  readonly value: string | number;
  readonly unit: string;
}

const COLUMNS = ['time_s', 'wall_time', 'signal', 'value', 'unit'];
const LFL = '%LFL';

export function csvOf(rig: Pick<RigView, 'name' | 'setpoint'>, history: History): string {
  const rows = [...headRows(rig, history), ...allRows(history).sort((a, b) => a.atMs - b.atMs)];
  const cells = rows.map(({ atMs, signal, value, unit }) => [
    atMs / 1000,
    wallTimeAt(history.wall, atMs),
    signal,
    value,
    unit,
  ]);
  return csvText([COLUMNS, ...cells]);
}

function headRows({ name, setpoint }: Pick<RigView, 'name' | 'setpoint'>, history: History): readonly Row[] {
  const atMs = history.beganAtMs ?? 0;
  return [
    { atMs, signal: 'caution', value: CAUTION, unit: '' },
    { atMs, signal: 'rig', value: name, unit: '' },
    { atMs, signal: 'setpoint', value: setpoint.percentLfl, unit: LFL },
    { atMs, signal: 'clear below', value: setpoint.clearBelow, unit: LFL },
    { atMs, signal: 'source of the setpoint', value: setpoint.source, unit: '' },
  ];
}

/** An empty value is no reading. */
function allRows({ gas, readings, commands, terminals, hazards, moments }: History): Row[] {
  return [
    ...rowsOf('true gas', gas, LFL, ({ value }) => value ?? ''),
    ...rowsOf('reading', readings, LFL, ({ value }) => value ?? ''),
    ...rowsOf('command', commands, '', ({ on }) => (on ? 1 : 0)),
    ...rowsOf('terminal', terminals, '', ({ on }) => (on ? 1 : 0)),
    ...hazards.flatMap(({ hazard, subject, fromMs, toMs }) => {
      const signal = `hazard ${hazard} ${subject}`;
      const began: Row = { atMs: fromMs, signal, value: 1, unit: '' };
      return toMs === null ? [began] : [began, { atMs: toMs, signal, value: 0, unit: '' }];
    }),
    ...moments.slice().map(({ atMs, id, text }) => ({ atMs, signal: `event ${id}`, value: text, unit: '' })),
  ];
}

function rowsOf<Item extends { readonly atMs: number }>(
  kind: string,
  lists: ReadonlyMap<string, Items<Item>>,
  unit: string,
  valueIn: (item: Item) => string | number,
): readonly Row[] {
  return [...lists].flatMap(([name, items]) =>
    items.slice().map((item) => ({ atMs: item.atMs, signal: `${kind} ${name}`, value: valueIn(item), unit })),
  );
}

/** Between two known moments time is taken to run evenly: right to a second, but for a pause between. */
export function wallTimeAt(wall: Items<WallTime>, atMs: number): string {
  const index = indexInForce(wall, atMs);
  const [before, after] = [wall.at(index), wall.at(index + 1)];
  if (before === undefined || before.atMs > atMs) return '';
  const share = after === undefined ? 0 : (atMs - before.atMs) / (after.atMs - before.atMs);
  const wallMs = before.wallMs + share * ((after?.wallMs ?? before.wallMs) - before.wallMs);
  return new Date(wallMs).toISOString();
}
