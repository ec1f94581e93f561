/** A roster as text, JSON, CSV and checklist: the same in each, and no record said plainly. */
import { describe, expect, test } from 'vitest';
import { CAUTIONS } from '../../../../src/app/cautions.ts';
import { rosterCsv } from '../../../../src/app/roster/csv.ts';
import { rosterHtml } from '../../../../src/app/roster/html.ts';
import { rosterJson } from '../../../../src/app/roster/json.ts';
import { rosterText } from '../../../../src/app/roster/text.ts';
import { readCsv } from '../../../helpers/csv.ts';
import { cleared, MADE, raised, replaced, resultOf } from './rosters.ts';

const RESULT = resultOf([
  cleared('old', 'notSelfTested', 4330),
  raised('old', 'gas', 26_000),
  raised('fresh', 'selfFailed'),
  replaced('soon', '3', '2024-02-01'),
]);

describe('text', () => {
  const text = rosterText(RESULT, { colour: false, width: 110 });

  test('has a row a sensor, what is to do with the most pressing first, and what is on record', () => {
    expect(text).toContain('Room, <east>, 2026-11-26. 5 sensors: 3 overdue, 2 unknown, 1 due soon');
    expect(text).toMatch(
      /^ {2}old +cabinet +line main, unit 11 +profile reference +1 +2011-05-02 +15.6 years +none +OVERDUE 2026-11-20$/mu,
    );
    expect(text).toMatch(/^ {2}bare .* not named +unknown +unknown +unknown +UNKNOWN$/mu);
    const words = [...text.matchAll(/^ {2}(OVERDUE|UNKNOWN|due soon) {2}/gmu)].map(([, word]) => word);
    expect(words).toEqual(['OVERDUE', 'OVERDUE', 'OVERDUE', 'UNKNOWN', 'UNKNOWN', 'due soon']);
    expect(text).toMatch(
      /old +passed 2026-11-26 09:00 UTC, bench 0:00:04 +2026-11-26 09:01 UTC, bench 0:00:26 +no record/u,
    );
    expect(text).toMatch(/fresh +FAILED 2026-11-26 09:02 UTC.* +no record +no record/u);
    expect(text).toMatch(/soon +no record +no record +2026-11-26, by Ada/u);
    expect(text).toMatch(/grille +a contact has none +no record +no record/u);
  });

  test('says what could not be read, who asks for checks, and what it is not', () => {
    expect(text).toContain('NOT READ  The record x is damaged');
    const words = text.replaceAll(/\s+/gu, ' ');
    expect(words).toContain('RD 552/2019 IF-16 3.3 (seen)');
    expect(words).toContain('EN 378-4 (memory)');
    expect(words).toContain(
      'Service life: 15 years unless the rig says otherwise; common practice, no source',
    );
    expect(text).toContain('Simulation and training only');
  });

  test('says it in words first: colour only paints them', () => {
    const red = '\u001b[31m';
    expect(text).not.toContain(red);
    expect(rosterText(RESULT, { colour: true, width: 110 })).toContain(`${red}  old`);
    expect(
      rosterText({ ...RESULT, record: { folders: [], problems: [] } }, { colour: false, width: 80 }),
    ).toContain('On record in data: no record there');
  });
});

test('JSON is one document, and says in words what is not on record', () => {
  const told = JSON.parse(rosterJson(RESULT)) as Record<string, unknown>;
  expect(told).toMatchObject({
    day: '2026-11-26',
    record: { data: 'data', folders: ['data', 'data/service'], problems: ['The record x is damaged'] },
    checkIntervals: [{ source: 'RD 552/2019 IF-16 3.3 (seen)' }, {}],
    sensors: [
      {
        sensor: 'old',
        selfTest: { result: 'passed', atMs: 4330 },
        check: { standing: 'overdue', daysLeft: -6 },
      },
      { sensor: 'fresh', selfTest: { result: 'failed' }, alarm: 'no record', part: '=A7' },
      { sensor: 'soon', selfTest: 'no record', replaced: { by: 'Ada', knownBy: 'survey' } },
      { sensor: 'bare', installed: null, life: { standing: 'unknown', day: null }, replaced: 'no record' },
      {
        sensor: 'grille',
        kind: 'contact',
        profile: null,
        address: 'input 8',
        selfTest: 'a contact has none',
      },
    ],
  });
});

test('CSV has a row a sensor, words where nothing is known, and nothing that a spreadsheet would run', () => {
  const [head = [], ...body] = readCsv(rosterCsv(RESULT));
  const column = (name: string) => body.map((row) => row[head.indexOf(name)]);
  for (const row of body) expect(row).toHaveLength(head.length);
  expect(column('sensor')).toEqual(['old', 'fresh', 'soon', 'bare', 'grille']);
  expect(column('part')).toEqual(['unknown', "'=A7", 'unknown', 'unknown', 'unknown']);
  expect(column('check')).toEqual(['overdue', 'in time', 'due soon', 'unknown', 'overdue']);
  expect(column('life days left')).toEqual(['-209', '5422', '4449', 'unknown', '4843']);
  expect(column('last self-test')).toEqual([
    'passed',
    'failed',
    'no record',
    'no record',
    'a contact has none',
  ]);
  expect(column('last alarm')).toEqual(['old has gas', ...Array.from({ length: 4 }, () => 'no record')]);
  expect(column('to do')[0]).toMatch(/^OVERDUE: check was due .*; OVERDUE: service life was over /u);
});

describe('the checklist', () => {
  test('is one file without a script, with cautions, boxes and room to write', async () => {
    const html = await rosterHtml(RESULT, MADE);
    expect(html).toContain('<title>Maintenance checklist: Room, &lt;east></title>');
    expect(html).not.toMatch(/<script|<link|https?:\/\//u);
    for (const caution of CAUTIONS) expect(html).toContain(caution);
    const cards = html.split('aria-label="Sensor ').slice(1);
    expect(cards).toHaveLength(5);
    for (const card of cards) {
      const own = card.split('</section>')[0] ?? '';
      expect(own.match(/class="box"/gu)).toHaveLength(14);
      for (const field of ['Found', 'Date', 'Name', 'Signature'])
        expect(own).toContain(`hand-field">${field}<`);
    }
    expect(html).toContain('OVERDUE: was over');
    expect(html).toContain('No record says nothing about a sensor');
    expect(html).toContain('common practice, no source');
  });
});
