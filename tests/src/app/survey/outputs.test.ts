/** A survey as text, JSON, CSV and sheet: the same rows and differences in each. */
import { describe, expect, test } from 'vitest';
import { surveyCsv } from '../../../../src/app/survey/csv.ts';
import { surveyHtml } from '../../../../src/app/survey/html.ts';
import { surveyJson } from '../../../../src/app/survey/json.ts';
import { surveyRows } from '../../../../src/app/survey/rows.ts';
import { type SurveyResult, unitsText } from '../../../../src/app/survey/survey-result.ts';
import { surveyText } from '../../../../src/app/survey/text.ts';
import { compare, inWords, knownCodecs, lookAt, spotsOf } from '../../../../src/survey/index.ts';
import { Bench } from '../../survey/on-world.ts';
import { RIGHT, rigOf, SHIPPED } from '../../survey/rigs.ts';

const MADE = { at: new Date('2026-03-01T10:20:30Z'), version: '1.2.3', node: 'v20' };
const UNITS = [1, 11, 12, 13, 60, 77];

/** coil-b at its factory address, low failed, a stranger at 77; the field I/O was not asked. */
function result(): SurveyResult {
  const rig = rigOf(RIGHT.replace('charge:', 'name: "Room, \\"east\\""\ncharge:'));
  const real = RIGHT.replace('unitId: 12', 'unitId: 1');
  const bench = new Bench(rigOf(`${real}  - { id: x, at: cabinet, unitId: 77, serial: "9" }\n`));
  bench.step({ fault: { in: 'low', kind: 'self-failed' } });
  const known = knownCodecs(rig, SHIPPED);
  const sight = spotsOf(rig, 'main', UNITS).map((spot) => bench.perform('main', lookAt(spot, known)));
  const differences = compare(rig, sight).map((finding) => inWords(finding));
  return {
    rig,
    at: MADE.at,
    lines: [{ line: 'main', address: 'tcp://127.0.0.1:1502', units: UNITS }],
    rows: surveyRows(rig, sight, differences),
    differences,
  };
}

describe('rows', () => {
  test('hold every sensor of the plan, the field I/O, and whoever else answered', () => {
    expect(
      result().rows.map(({ unitId, sensor, result: come, state }) => [unitId, sensor, come, state]),
    ).toEqual([
      [1, null, 'differs', 'measuring'],
      [11, 'coil-a', 'as planned', 'measuring'],
      [12, 'coil-b', 'differs', ''],
      [13, 'low', 'as planned', 'failed'],
      [60, 'high', 'as planned', 'measuring'],
      [77, null, 'differs', 'measuring'],
      [200, 'the field I/O', 'not asked', ''],
      [null, 'grille', 'no address', ''],
    ]);
  });

  test('name at a stranger’s address the sensor that it turned out to be', () => {
    const [first] = result().rows;
    expect(first?.differences.map(({ kind, sensor }) => [kind, sensor])).toEqual([['atFactory', 'coil-b']]);
  });
});

describe('text', () => {
  test('has a table, and each difference with what to do', () => {
    const text = surveyText(result(), { colour: false, width: 200 });
    expect(text).toContain('Room, "east": 3 of 4 planned answer as planned, 2 differences');
    expect(text).toContain('units 1, 11–13, 60, 77; read only');
    expect(text).toMatch(/main {2}12 {4}coil-b .* still at its factory address/u);
    expect(text).toContain('unexpected: at unit 77 of line main');
    expect(text).toContain('  → add it to the rig file, or take it off the line');
    expect(text).toContain('Simulation and training only');
  });

  test('paints rows that differ only where colour is wanted', () => {
    const red = '\u001b[31m';
    expect(surveyText(result(), { colour: false, width: 100 })).not.toContain(red);
    expect(surveyText(result(), { colour: true, width: 100 })).toContain(`${red}main  12`);
  });
});

test('JSON is one document', () => {
  const told = JSON.parse(surveyJson(result())) as Record<string, unknown>;
  expect(told).toMatchObject({
    asPlanned: false,
    surveyedAt: '2026-03-01T10:20:30.000Z',
    lines: [{ line: 'main', address: 'tcp://127.0.0.1:1502' }],
    differences: [{ kind: 'atFactory' }, { kind: 'unexpected' }],
  });
});

describe('CSV', () => {
  /** Read back by the grammar of RFC 4180 section 2, written out here anew. */
  function parsed(text: string): string[][] {
    const rows: string[][] = [[]];
    const field = /("(?:[^"]|"")*"|[^",\r\n]*)(,|\r\n)/gy;
    for (let match = field.exec(text); match !== null; match = field.exec(text)) {
      const [, cell = '', end] = match;
      rows.at(-1)?.push(cell.startsWith('"') ? cell.slice(1, -1).replaceAll('""', '"') : cell);
      if (end === '\r\n') rows.push([]);
      if (field.lastIndex === text.length) break;
    }
    return rows.slice(0, -1);
  }

  test('reads back, row by row, with as many fields in each', () => {
    const { rows } = result();
    const [head, ...body] = parsed(surveyCsv({ rows }));
    expect(head?.slice(0, 3)).toEqual(['line', 'unit', 'sensor']);
    expect(body).toHaveLength(rows.length);
    for (const row of body) expect(row).toHaveLength(head?.length ?? 0);
    const [title] = rows[2]?.differences.map((one) => one.title) ?? [];
    expect(body[2]?.[head?.indexOf('result') ?? 0]).toBe(title);
    expect(body[1]?.slice(0, 6)).toEqual(['main', '11', 'coil-a', 'cabinet', 'reference', '240811']);
  });

  test('puts what holds a quote, a comma or a line end in quotes', () => {
    const [row] = result().rows;
    if (row === undefined) throw new Error('no row');
    const text = surveyCsv({ rows: [{ ...row, serial: 'a "b", c\nd' }] });
    expect(text).toContain('"a ""b"", c\nd"');
    expect(parsed(text)[1]).toContain('a "b", c\nd');
  });
});

describe('the commissioning sheet', () => {
  test('is one file without a script, with cautions, rows and boxes for the hand', async () => {
    const html = await surveyHtml(result(), MADE);
    expect(html).toContain('<title>Commissioning sheet: Room, &quot;east&quot;</title>');
    expect(html).toContain('made 2026-03-01 10:20 UTC');
    expect(html).not.toMatch(/<script|<link|src="http/u);
    expect(html.match(/class="by-hand /gu)).toHaveLength(3 * 8);
    expect(html).toContain('If real gas is suspected');
    expect(html).toContain('<td class="sheet-warns">failed</td>');
    expect(html).toContain('(240812)');
  });
});

test('runs of addresses are written short', () => {
  expect(unitsText([1, 2, 3, 7, 9, 10])).toBe('1–3, 7, 9–10');
});
