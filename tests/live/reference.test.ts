/** The reference names everything there is: verbs and options as their help has them, and every row of the tables. */
import { expect, test } from 'vitest';
import { parseExpression } from '../../sim/drill/parse-expression.ts';
import { FAULT_KINDS } from '../../sim/faults/index.ts';
import { DEFINITIONS } from '../../sim/judge/judge.ts';
import { RULES } from '../../sim/judge/rules.ts';
import { rigOrStop } from '../../src/app/rig-option.ts';
import { CATALOGUE } from '../../src/events/index.ts';
import { COILS, INPUTS, IO_REGISTERS } from '../../src/rig/index.ts';
import { rigSchema } from '../../src/rig/schema.ts';
import { POINT_KINDS } from '../../src/sensor/index.ts';
import { unitsOf } from '../../src/units/index.ts';
import { runToEnd } from '../helpers/bench-process.ts';

async function told(...args: readonly string[]): Promise<string> {
  const { code, stdout, stderr } = await runToEnd(args);
  expect([code, stderr]).toEqual([0, '']);
  return stdout;
}

test('every rule with its source, fault, event, register, signal and key of a rig', async () => {
  const text = await told('reference');
  const rows = (words: readonly string[], before = ''): readonly string[] =>
    words.filter((word) => !text.includes(`| \`${before}${word}\` |`));
  for (const { words, tier, source } of Object.values(RULES)) {
    expect(text).toContain(`| ${words} | ${tier} | ${source} |`);
  }
  expect(rows(FAULT_KINDS)).toEqual([]);
  expect(rows(Object.keys(CATALOGUE), 'leakbench.')).toEqual([]);
  expect(rows(Object.keys(rigSchema.shape))).toEqual([]);
  expect(rows(Object.keys(POINT_KINDS))).toEqual([]);
  expect(rows([...Object.keys(COILS), ...Object.keys(INPUTS), ...Object.keys(IO_REGISTERS)])).toEqual([]);
  expect(text).toContain('| `policy.hold` | mitigation goes on for so long');
  expect(text).toContain('| `5 min` |');
  expect(text).not.toMatch(/undefined|\[object/u);
});

test('what each rule counts, in words that a rig file has', async () => {
  const text = await told('reference', 'rules');
  const policy = Object.keys(rigSchema.shape.policy.unwrap().shape);
  for (const [id, { countedFrom, limit, exercisedWhen }] of Object.entries(DEFINITIONS)) {
    const exercised = exercisedWhen.replace('It would take ', '').slice(0, -1);
    expect(text).toContain(`| \`${id}\` | ${countedFrom} | ${limit} | ${exercised} |`);
    const named = `${countedFrom} ${limit} ${exercised}`.match(/\b[a-z]+[A-Z]\w+/gu) ?? [];
    expect(named.filter((word) => !policy.includes(word))).toEqual([]);
  }
  expect(text).toContain('30 s for the detector');
  expect(text).toContain('compressors off within 5 s');
  for (const word of ['Mitigation', 'Episode', 'Well', 'Good answer'])
    expect(text).toContain(`- **${word}**: `);
});

test('how a condition is written: what it shows as one can be read', async () => {
  const text = await told('reference', 'signals');
  const { rig } = rigOrStop(undefined);
  const shown = [...text.matchAll(/`([^`|]+)`(?=[^|]*$)/gmu)].map(([, one = '']) => one);
  const conditions = shown.filter((one) => / (?:is|and|[<>]=?) |^not /u.test(one));
  expect(conditions.length).toBeGreaterThan(5);
  expect(conditions.filter((one) => !parseExpression(one, rig).ok)).toEqual([]);
  expect(conditions).toContain('coil-b.state is failed');
  for (const unit of unitsOf('gas')) expect(text).toContain(unit);
  expect(text).toContain('| `==` | compare with');
});

test('every verb and option that the help shows, and a topic alone', async () => {
  const text = await told('reference', 'commands');
  expect(text).not.toContain('## Rules');
  const verbs = [...(await told('--help')).matchAll(/^ {2}([a-z]+) .*$/gmu)].map(([, verb = '']) => verb);
  expect(verbs).toContain('reference');
  for (const verb of verbs.filter((one) => one !== 'help')) {
    const part = text.slice(text.indexOf(`### \`leakbench ${verb}`));
    expect(part.startsWith(`### \`leakbench ${verb}`)).toBe(true);
    const options = [...(await told(verb, '--help')).matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gmu)];
    for (const [, option = ''] of options) {
      if (!['--help', '--version'].includes(option)) expect(part).toContain(`\`${option}`);
    }
  }
});

test('a topic that there is none of is told those there are', async () => {
  const { code, stderr } = await runToEnd(['reference', 'fautls']);
  expect(code).toBe(2);
  expect(stderr).toContain('faults');
});
