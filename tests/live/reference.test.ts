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

let whole: Promise<string> | null = null;
/** Written once: each start of the command costs a second. */
const all = (): Promise<string> => (whole ??= told('reference'));

test('every rule with its source, fault, event, register, signal and key of a rig', async () => {
  const text = await all();
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
  const text = await all();
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
  const text = (await all()).replace(/^[\s\S]*(?=## Conditions)|## The rig file[\s\S]*$/gu, '');
  const { rig } = rigOrStop(undefined);
  const shown = [...text.matchAll(/`([^`|]+)`(?=[^|]*$)/gmu)].map(([, one = '']) => one);
  const conditions = shown.filter((one) => / (?:is|and|[<>]=?) |^not /u.test(one));
  expect(conditions.length).toBeGreaterThan(5);
  expect(conditions.filter((one) => !parseExpression(one, rig).ok)).toEqual([]);
  expect(conditions).toContain('coil-b.state is failed');
  for (const unit of unitsOf('gas')) expect(text).toContain(unit);
  expect(text).toContain('| `==` | compare with');
});

test('a key that one of several ways to write a value needs is not told as needed', async () => {
  const text = await all();
  const of = (heading: string): string => text.slice(text.indexOf(`## The ${heading} file`));
  const drill = of('drill');
  const left = (text: string, key: string): string | undefined =>
    new RegExp(`^\\| \`${key.replaceAll(/[.[\]]/gu, String.raw`\$&`)}\` \\| .* \\| (.*) \\|$`, 'mu').exec(
      text,
    )?.[1];
  for (const key of ['rate', 'kg', 'emptiesIn', 'halfLife', 'hole', 'pressure']) {
    expect([key, left(drill, `steps[].release.${key}`)]).toEqual([key, 'needed in its choice']);
  }
  expect(left(drill, 'rules.except')).toBe('needed in its choice');
  expect(drill).toContain('`at`, `rate`; or `at`, `kg`, `emptiesIn`; or');
  const rig = of('rig').slice(0, of('rig').indexOf('## The drill'));
  expect(left(rig, 'sensors[].input')).toBe('needed in its choice');
  expect(left(rig, 'sensors[].id')).toBe('needed');
  expect(left(rig, 'charge')).toBe('needed');
});

test('no key without a word of what it takes, no word twice, nothing as a program has it', async () => {
  const text = await all();
  expect(text).not.toMatch(/^\| `[^`]+` \| *\|/mu);
  expect(text).toContain('on or off: true, false, on, yes, off, no |');
  expect(text).not.toContain('| {"');
  expect(text).toContain('| `command` | 1: selfTest; 2: restart; 3: identify |');
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
