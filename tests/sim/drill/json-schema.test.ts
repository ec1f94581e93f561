/** The published schema of drills says what the bench takes. */
import { describe, expect, test } from 'vitest';
import { FAULT_KINDS, type FaultKind } from '../../../sim/faults/index.ts';
import { editorSays } from '../../helpers/editor.ts';
import { LESSON, load, SMALLEST, WHOLE } from './drill-text.ts';

/** With what stands behind the smallest drill as its name. */
function named(texts: readonly string[]): readonly (readonly [string, string])[] {
  return texts.map((text) => [text.replace(SMALLEST, '').trim() || 'the smallest', text]);
}

const step = (text: string): string => `${SMALLEST}steps: [{ at: 1 s, ${text} }]\n`;

/** Parameters of the kinds that need some. */
const NEEDS: Partial<Record<FaultKind, string>> = {
  offset: 'by: -5 %LFL',
  gain: 'factor: 0.5',
  slow: 't90: 30 s',
  noisy: 'by: 2 %LFL',
  'other-gas': 'by: 8 %LFL',
  misplaced: 'at: room-low',
  swapped: 'with: coil-b',
  late: 'by: 200 ms',
};
const SUBJECTS: Partial<Record<FaultKind, string>> = {
  'wire-open': 'grille',
  'wire-short': 'grille',
  'fan-dead': 'fan',
  'airflow-switch-stuck': 'airflow',
  'compressor-welded': 'compressor.a',
  'output-stuck': 'output.fan',
  'io-silent': 'fieldIo',
};
const FAULTS = FAULT_KINDS.map((kind) => {
  const needs = NEEDS[kind] === undefined ? '' : `, ${NEEDS[kind]}`;
  return step(
    `fault: { in: ${SUBJECTS[kind] ?? 'coil-a'}, kind: ${kind}${needs}, lasts: 2 min, probability: 0.5 }`,
  );
});

describe('schema and bench take the same', () => {
  test.each(
    named([
      WHOLE,
      SMALLEST,
      `${SMALLEST}calls: { cooling: yes, heating: false, fan: on }\nrules: published\n`,
      `${SMALLEST}rules: { except: [latch] }\n`,
      `${SMALLEST}rules: [respond]\nexpect: [{ when: fan, then: not fire, within: 0 s }]\n`,
      step('release: off'),
      step('release: { at: room-low, kg: 4.2 kg, emptiesIn: 4 min }'),
      step('release: { at: cabinet, rate: 1.5 lb/min }'),
      step('release: { at: cabinet, kg: 4.2 kg, halfLife: 60 s }'),
      step('release: { at: cabinet, hole: 1 mm, pressure: 17 bar, vapourSpace: 8 l }'),
      step('release: { at: cabinet, rate: 10 g/s, pumpDown: { after: 0 s, leaves: 0.1 } }'),
      step('testGas: { at: coil-a, level: off }'),
      step('testGas: { at: coil-a, level: 36000 ppm }'),
      step('mend: { in: coil-b }'),
      step('power: { to: controller, cut: stays }'),
      step('power: { to: controller, cut: 10 s }'),
      step('power: { to: controller, restored: true }'),
      step('serviceReset: {}'),
      step('fire: on'),
      SMALLEST + LESSON,
      ...FAULTS,
    ]),
  )('%s', (_, text) => {
    expect(load(text).problems).toEqual([]);
    expect(editorSays('drill', text)).toEqual([]);
  });
});

describe('schema and bench refuse the same', () => {
  test.each(
    named([
      SMALLEST.replace('drill: 1', 'drill: 2'),
      SMALLEST.replace('name: Quiet\n', ''),
      SMALLEST.replace('10 min', '10'),
      SMALLEST.replace('10 min', '10 kg'),
      `${SMALLEST}stepps: []\n`,
      `${SMALLEST}calls: { cooling: maybe }\n`,
      `${SMALLEST}rules: [respnd]\n`,
      `${SMALLEST}expect: [{ then: fan }]\n`,
      `${SMALLEST}expect: [{ at: 1 s, when: fire, then: fan }]\n`,
      `${SMALLEST}expect: [{ at: 1 s }]\n`,
      `${SMALLEST}steps: [{ fire: on }]\n`,
      `${SMALLEST}steps: [{ at: 1 s }]\n`,
      step('fire: on, serviceReset: {}'),
      step('fyre: on'),
      step('call: {}'),
      step('power: { to: rig }'),
      step('power: { to: rig, cut: 10 s, restored: true }'),
      step('release: { at: cabinet, rate: 10 g/s, emptiesIn: 4 min }'),
      step('release: { at: cabinet, hole: 1 mm }'),
      step('release: { at: cabinet, kg: 4.2 kg, emptiesIn: 4 min, halfLife: 60 s }'),
      step('release: { at: cabinet, rate: 10 g/s, pumpDown: { after: 60 s, leaves: 2 } }'),
      SMALLEST + LESSON.replace('[no-airflow]', '[no-airflw]'),
      SMALLEST + LESSON.replace('[no-airflow]', '[]'),
      SMALLEST + LESSON.replace('[fan]', '[fan, fan]'),
      SMALLEST + LESSON.replace('title: The quiet case', `title: ${'T'.repeat(61)}`),
      SMALLEST + LESSON.replace('safeNextStep: Lock out.', ''),
      SMALLEST + LESSON.replace('shows:', 'show:'),
      step('fault: { in: coil-a, kind: silnt }'),
      step('fault: { in: coil-a, kind: silent, factor: 2 }'),
      step('fault: { in: coil-a, kind: gain }'),
      step('testGas: { at: coil-a, level: 40 }'),
    ]),
  )('%s', (_, text) => {
    expect(load(text).problems).not.toEqual([]);
    expect(editorSays('drill', text)).not.toEqual([]);
  });
});
