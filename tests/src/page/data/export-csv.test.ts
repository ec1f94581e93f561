import { describe, expect, it } from 'vitest';
import { csvOf, wallTimeAt } from '../../../../src/page/data/export-csv.ts';
import { foldAll, NO_HISTORY } from '../../../../src/page/data/history.ts';
import { RIG } from '../../../browser/harness/rig.ts';
import { tellStory } from '../../../browser/harness/story.ts';
import { readCsv, seriesIn } from '../../../helpers/csv.ts';

const history = foldAll(NO_HISTORY, tellStory(900).events);

describe('a run as a table', () => {
  it('read back is the history: each change of each signal once, in the order of time', () => {
    const rows = readCsv(csvOf(RIG, history));
    const points = history.gas.get('coil-a')?.slice() ?? [];
    expect(rows[0]).toEqual(['time_s', 'wall_time', 'signal', 'value', 'unit']);
    expect(points.length).toBeGreaterThan(50);
    expect(seriesIn(rows, 'true gas coil-a')).toEqual(points.map(({ atMs, value }) => [atMs, value]));
    expect(seriesIn(rows, 'reading coil-b')).toEqual(
      history.readings
        .get('coil-b')
        ?.slice()
        .map(({ atMs, value }) => [atMs, value]),
    );
    expect(seriesIn(rows, 'command compressor.a')).toEqual(
      history.commands
        .get('compressor.a')
        ?.slice()
        .map(({ atMs, on }) => [atMs, on ? 1 : 0]),
    );
    const times = rows.slice(1).map(([time]) => Number(time));
    expect(times).toEqual([...times].sort((a, b) => a - b));
    const counted = [history.gas, history.readings, history.commands, history.terminals]
      .flatMap((lists) => [...lists.values()])
      .reduce((sum, items) => sum + items.length, history.moments.length);
    const spans = history.hazards.reduce((sum, { toMs }) => sum + (toMs === null ? 1 : 2), 0);
    expect(rows).toHaveLength(1 + 5 + counted + spans);
  });

  it('says what it is and whose setpoint it follows', () => {
    const csv = csvOf(RIG, history);
    expect(csv).toContain('Simulation and training only. Not a safety device');
    expect(csv).toContain(',setpoint,20,%LFL');
    expect(csv).toContain(RIG.setpoint.source);
  });

  it('leaves no reading empty, and quotes what holds a comma, a quote or a line break', () => {
    const csv = csvOf(
      { ...RIG, name: 'a "rig",\r\nof two lines' },
      { ...NO_HISTORY, readings: new Map([['coil-a', [{ atMs: 1500, value: null }]]]) },
    );
    expect(csv).toContain('1.5,,reading coil-a,,%LFL\r\n');
    expect(csv).toContain('"a ""rig"",\r\nof two lines"');
    expect(readCsv(csv).find(([, , signal]) => signal === 'rig')?.[3]).toBe('a "rig",\r\nof two lines');
  });

  it('lets no text begin a formula', () => {
    expect(csvOf({ ...RIG, name: '=1+1' }, NO_HISTORY)).toContain(",rig,'=1+1,");
  });

  it('knows the time on the wall where the record told it, and nothing before', () => {
    const wall = [
      { atMs: 1000, wallMs: 1_700_000_000_000 },
      { atMs: 21_000, wallMs: 1_700_000_001_000 },
    ];
    expect(wallTimeAt(wall, 11_000)).toBe('2023-11-14T22:13:20.500Z');
    expect(wallTimeAt(wall, 30_000)).toBe('2023-11-14T22:13:21.000Z');
    expect(wallTimeAt(wall, 500)).toBe('');
    expect(wallTimeAt([], 500)).toBe('');
  });
});
