import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { CAUTIONS } from '../../../../src/app/cautions.ts';
import { benchCourses } from '../../../../src/app/figures/bench-courses.ts';
import { caseOfRig } from '../../../../src/app/figures/case-of-rig.ts';
import { figuresHtml } from '../../../../src/app/figures/html.ts';
import { figuresJson } from '../../../../src/app/figures/json.ts';
import type { FiguresResult } from '../../../../src/app/figures/result.ts';
import { figuresText } from '../../../../src/app/figures/text.ts';
import { unitsOfLocale } from '../../../../src/app/figures/units-of-locale.ts';
import { figuresFor, outsideOf } from '../../../../src/figures/index.ts';
import { packageRoot } from '../../../../src/files/index.ts';
import { STANDARD_AIR } from '../../../../src/refrigerant/index.ts';
import type { Rig } from '../../../../src/rig/index.ts';
import { demoRig } from '../../../helpers/demo.ts';

function resultOf(rig: Rig, units: FiguresResult['units'] = 'si'): FiguresResult {
  const the = caseOfRig(rig, { install: 'ceiling', airflowTold: true });
  const groups = figuresFor(the, STANDARD_AIR);
  return { rig, the, groups, outside: outsideOf(groups), bench: benchCourses(rig), units };
}

const DEMO = resultOf(demoRig());
const PLAIN = { colour: false, width: 110 };

describe('the text', () => {
  const text = figuresText(DEMO, PLAIN);

  test('names every standard with how sure, and fits its width', () => {
    const flat = text.replace(/\s+/gu, ' ');
    for (const { standard, sure } of DEMO.groups.flatMap(({ figures }) => figures)) {
      expect(flat).toContain(`${standard} (${sure})`);
    }
    expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(110);
  });

  test('says in words what the case is outside of, defers to codes and practice, and gives the cautions', () => {
    const flat = text.replace(/\s+/gu, ' ');
    expect(flat).toMatch(/Outside its limits by 1 of the figures here: A fifth of LFL in the whole room/u);
    expect(flat).toMatch(/local codes and licensed practice decide\. This is no proof of compliance\./u);
    for (const caution of CAUTIONS) expect(flat).toContain(caution);
  });

  test('says that nothing was found outside, where nothing was, and still defers', () => {
    const small = figuresText(resultOf({ ...demoRig(), chargeKg: 1 }), PLAIN).replace(/\s+/gu, ' ');
    expect(small).toMatch(/Outside none of the figures.*no proof of compliance/u);
  });

  test('is what the guide shows of it, line by line', () => {
    const guide = readFileSync(join(packageRoot(), 'src/guides/rig.md'), 'utf8');
    const block = /```text\n([^`]*Circulation that keeps[^`]*)```/u.exec(guide)?.[1] ?? '';
    const lines = block.split('\n').filter((line) => line !== '' && line !== '…');
    expect(lines.length).toBeGreaterThan(10);
    expect(lines.filter((line) => !text.split('\n').includes(line))).toEqual([]);
  });

  test('shows how quick each sensor is, and nothing of it where none has a reading', () => {
    expect(text).toContain('    coil-a: half of it after 3.011 s (t50), 90 % after 10 s (t90)');
    const contacts = demoRig().sensors.filter(({ kind }) => kind === 'contact');
    expect(figuresText(resultOf({ ...demoRig(), sensors: contacts }), PLAIN)).not.toContain('(t50)');
  });

  test('has colour only where it is asked for', () => {
    const coloured = figuresText(DEMO, { colour: true, width: undefined });
    expect(coloured).toContain('\u001b[31m');
    expect(text).not.toContain('\u001b');
  });

  test('speaks inch-pound where asked', () => {
    const ip = figuresText(resultOf(demoRig(), 'ip'), PLAIN);
    expect(ip).toMatch(/9\.259 lb of R-32.*258\.3 ft2 × 8\.202 ft/u);
    // Formulas stay in SI units, and say so; no result does.
    expect(ip).toContain('Formulas stand in SI units; what was printed in SI is');
    expect(ip).not.toMatch(/: [\d.]+ (?:kg|m2|m3\/h|kg\/m3)$/mu);
  });
});

describe('the JSON', () => {
  test('holds every figure with value and unit, the courses, what is outside and the cautions', () => {
    const read = JSON.parse(figuresJson(DEMO)) as {
      groups: { figures: { id: string; result: { value: number; unit: string } | null }[] }[];
      bench: { courses: { fan: string; clearAtMs: number }[]; stepResponses: unknown };
      outside: string[];
      cautions: string[];
    };
    const figures = read.groups.flatMap((group) => group.figures);
    expect(figures.find(({ id }) => id === 'airflow.half')?.result?.unit).toBe('m3/h');
    expect(figures.find(({ id }) => id === 'airflow.half')?.result?.value).toBeCloseTo((30 * 4.2) / 0.307, 9);
    expect(read.bench.courses.map(({ fan }) => fan)).toEqual(['off', 'on']);
    expect(read.bench.stepResponses).toEqual([
      { id: 'coil-a', t50Ms: 3011, t90Ms: 10_000 },
      { id: 'coil-b', t50Ms: 3011, t90Ms: 10_000 },
    ]);
    expect(read.outside).toEqual(['share.20']);
    expect(read.cautions).toEqual([...CAUTIONS]);
  });
});

describe('the sheet', () => {
  test('is one file without script that draws each place with the fan off and on', async () => {
    const html = await figuresHtml(DEMO, { at: new Date(0), version: '0', node: 'v20' });
    expect(html).not.toMatch(/<script/u);
    expect(html).not.toMatch(/(?:src|href)="(?!#)/u);
    for (const fan of ['off', 'on']) {
      for (const place of ['the cabinet', 'the room']) expect(html).toContain(`Fan ${fan}: gas in ${place}`);
    }
    expect(html).toContain('local codes and licensed practice decide');
    expect(html).toContain('half of it after 3.011 s (t50)');
    for (const { figures } of DEMO.groups) for (const { name } of figures) expect(html).toContain(name);
    expect(html.length).toBeLessThan(300_000);
  });
});

/** POSIX: LC_ALL before the category before LANG; what is empty does not count. */
test.each([
  [{}, 'si'],
  [{ LANG: 'en_US.UTF-8' }, 'ip'],
  [{ LANG: 'en_US.UTF-8', LC_MEASUREMENT: 'de_DE.UTF-8' }, 'si'],
  [{ LANG: 'de_DE', LC_MEASUREMENT: 'de_DE', LC_ALL: 'en_US' }, 'ip'],
  [{ LC_ALL: '', LANG: 'en_US' }, 'ip'],
  [{ LANG: 'C.UTF-8' }, 'si'],
])('units by the locale %j are %s', (environment, units) => {
  expect(unitsOfLocale(environment)).toBe(units);
});
