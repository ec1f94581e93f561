/** What the documents say without being run: verbs and options that there are, links that lead somewhere, tables. */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { packageRoot } from '../src/files/index.ts';
import { runToEnd } from './helpers/bench-process.ts';
import { drillTable } from './helpers/documents/drill-table.ts';
import { isAsShown } from './helpers/documents/output.ts';
import { DOCUMENTS, type Part, partsOf, readDocument } from './helpers/documents/parts.ts';
import { CI_SAMPLES, commandsOfSample } from './helpers/documents/samples.ts';
import { TOOL_PACKAGES } from './interop/outside-tools.ts';
import { SHIPPED } from './mutants/drills.ts';

const ROOT = packageRoot();
const GUIDES = DOCUMENTS.filter((file) => file.startsWith('src/guides/'));
const PICTURES = 'src/guides/pictures';
const PICTURE_BYTES_MAX = 150_000;
const README_LINES_MAX = 300;
const TEXTS = [...DOCUMENTS.map((file) => readDocument(file)), ...CI_SAMPLES.flatMap(commandsOfSample)];
/** Options of npm, curl, docker and others that are spoken of too. */
const OF_OTHERS = new Set(
  'silent save-dev project save-exact profile build scale rm save mutate force omit'.split(' '),
);

test('the README stays short', () => {
  expect(readDocument('README.md').split('\n').length).toBeLessThanOrEqual(README_LINES_MAX);
});

test.each(GUIDES)('%s opens with the cautions', (file) => {
  const [, opening = ''] = readDocument(file).split(/\n\n/u);
  for (const words of [
    /Simulation and training only/u,
    /masks? a real detector/u,
    /no flames, no switching/u,
  ])
    expect(opening.replace(/\n> /gu, ' ')).toMatch(words);
});

test('every block is run, or says why not', () => {
  const left = DOCUMENTS.flatMap((file) =>
    partsOf(file).flatMap((part) => (part.kind === 'not run' ? [`${file}: ${part.reason}`] : [])),
  );
  expect(left).toEqual([
    'README.md: it fetches packages and runs all tests; .ci/run does both on a clean checkout',
    'README.md: it installs programs on the machine',
    'README.md: tests/long/package.test.ts runs these lines from the tarball, under Node 20, 22 and 24',
    'DEVELOPERS.md: a drawing',
    'src/guides/qa.md: it fetches packages into a repository of yours',
    'src/guides/qa.md: it wants other machines; a test of the queue runs the same with a Redis of its own',
    'src/guides/instructor.md: it fetches packages; .ci/run does it on a clean checkout',
  ]);
  const kinds = DOCUMENTS.flatMap((file) => partsOf(file).map(({ kind }: Part) => kind));
  expect(kinds.filter((kind) => kind === 'commands').length).toBeGreaterThan(35);
  expect(kinds.filter((kind) => kind === 'output').length).toBeGreaterThan(8);
});

test('what is run in place of a newcomer is what a newcomer runs', () => {
  const ci = readFileSync(join(ROOT, '.ci/run'), 'utf8');
  expect(ci).toMatch(/^npm ci\nnpm test$/mu);
});

test('what a newcomer installs is what is installed in CI, and all that the tests ask for', () => {
  const packagesIn = (text: string, list: RegExp): readonly string[] =>
    list.exec(text)?.[1]?.split(/\s+/u) ?? [];
  const shown = packagesIn(readDocument('README.md'), /apt-get install (.*)/u);
  const installed = packagesIn(readFileSync(join(ROOT, '.ci/run'), 'utf8'), /^tools=\(([^)]*)\)/mu);
  // The browser tests start Chromium themselves.
  expect(shown).toEqual([...TOOL_PACKAGES, 'chromium'].toSorted());
  expect(installed).toEqual(shown);
});

/** Command lines of ours wherever they stand, in blocks and in sentences; continued lines are one. */
function commandLines(): readonly string[] {
  const joined = TEXTS.map((text) => text.replace(/\\\n\s*/gu, ' ')).join('\n');
  const called = /(?:npm (?:--silent )?start --|npx leakbench|`leakbench) ([a-z][^\n`|#>&]*)/gu;
  return [...joined.matchAll(called)].map(([, line = '']) => line.trim());
}

describe('options', async () => {
  const verbs = verbsIn(await helpOf(''));
  const under = (
    await Promise.all(
      ['record', 'roster'].map(async (verb) =>
        verbsIn(await helpOf(verb)).map((below) => `${verb} ${below}`),
      ),
    )
  ).flat();
  const help = new Map(
    await Promise.all([...verbs, ...under].map(async (verb) => [verb, await helpOf(verb)] as const)),
  );
  const used = commandLines().map((line) => {
    const [verb = '', below = ''] = line.split(' ');
    return [help.has(`${verb} ${below}`) ? `${verb} ${below}` : verb, optionsIn(line)] as const;
  });

  test('are looked for in many commands', () => {
    expect(used.length).toBeGreaterThan(30);
    expect(new Set(used.map(([verb]) => verb)).size).toBeGreaterThanOrEqual(10);
  });

  test.each(used)('%s takes %j', (verb, options) => {
    expect([...help.keys()]).toContain(verb);
    expect(options.filter((option) => !hasOption(help.get(verb) ?? '', option))).toEqual([]);
  });

  test('that stand alone in a sentence are taken by some verb', () => {
    const all = [...help.values()].join('\n');
    const named = TEXTS.flatMap((text) =>
      [...text.matchAll(/`--([a-z-]+)[^`]*`/gu)].map(([, name = '']) => name),
    );
    expect(named.length).toBeGreaterThan(30);
    expect(named.filter((name) => !OF_OTHERS.has(name) && !hasOption(all, name))).toEqual([]);
  });

  test('of the table of verbs are those that there are', () => {
    const rows = [...readDocument('README.md').matchAll(/^\| `([a-z]+)/gmu)].map(([, verb = '']) => verb);
    expect([...new Set(rows)].toSorted()).toEqual(verbs.toSorted());
  });
});

/** Without the example at its end, which would have every option that it shows. */
async function helpOf(verb: string): Promise<string> {
  const { stdout } = await runToEnd([...verb.split(' ').filter((word) => word !== ''), '--help']);
  return stdout.replace(/\nExample[\s\S]*$/u, '\n');
}

function verbsIn(help: string): readonly string[] {
  return [...help.matchAll(/^ {2}([a-z]+) /gmu)].flatMap(([, verb = '']) => (verb === 'help' ? [] : [verb]));
}

function optionsIn(line: string): readonly string[] {
  return [...line.replace(/'[^']*'|"[^"]*"/gu, '').matchAll(/(?<=\s)--([a-z-]+)/gu)].map(
    ([, name = '']) => name,
  );
}

function hasOption(help: string, option: string): boolean {
  return new RegExp(`--${option}[ ,\\n]`, 'u').test(help);
}

test('every script of npm that is named is there', () => {
  const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { scripts: object };
  const named = TEXTS.flatMap((text) =>
    [...text.matchAll(/npm run ([\w:]+)/gu)].map(([, name = '']) => name),
  );
  expect(named.length).toBeGreaterThan(3);
  expect(named.filter((name) => !(name in scripts))).toEqual([]);
});

test.each(DOCUMENTS)('every link of %s leads somewhere', (file) => {
  const links = [...readDocument(file).matchAll(/\]\(([^)\s]+)\)/gu)].map(([, link = '']) => link);
  expect(links.filter((link) => !/^https?:/u.test(link) && !leads(dirname(file), link, file))).toEqual([]);
});

function leads(folder: string, link: string, from: string): boolean {
  const [path = '', anchor] = link.split('#');
  const target = path === '' ? from : join(folder, path);
  if (!existsSync(join(ROOT, target))) return false;
  return anchor === undefined || anchorsOf(target).includes(anchor);
}

/** As repositories' pages make them of headings. */
function anchorsOf(file: string): readonly string[] {
  return [...readDocument(file).matchAll(/^#+ (.*)$/gmu)].map(([, heading = '']) =>
    heading
      .toLowerCase()
      .replace(/[^\p{L}\p{N}\s-]/gu, '')
      .replace(/\s/gu, '-'),
  );
}

test('pictures are light, each is shown, and each has words for who does not see it', () => {
  const shown = DOCUMENTS.flatMap((file) => [
    ...readDocument(file).matchAll(/!\[([^\]]*)\]\([^)]*pictures\/([^)]+)\)/gu),
  ]);
  expect([...new Set(shown.map(([, , name]) => name))].toSorted()).toEqual(
    readdirSync(join(ROOT, PICTURES)).toSorted(),
  );
  expect(shown.filter(([, words = '']) => words.length < 20)).toEqual([]);
  for (const name of readdirSync(join(ROOT, PICTURES)))
    expect(statSync(join(ROOT, PICTURES, name)).size, name).toBeLessThanOrEqual(PICTURE_BYTES_MAX);
});

test('the guide lists the shipped drills as they are', () => {
  expect(drillTable().map(({ id, file, name }) => [id, file, name])).toEqual(
    [...SHIPPED].map(([id, { name }]) => [id, `../../sim/drill/library/${id}.drill.yaml`, name]),
  );
});

describe.each(CI_SAMPLES)('%s', (file) => {
  test('can be read, and calls leakbench', () => {
    expect(parse(readFileSync(join(ROOT, file), 'utf8'))).toBeTypeOf('object');
    const commands = commandsOfSample(file);
    expect(commands.filter((command) => command.includes('leakbench')).length).toBeGreaterThanOrEqual(3);
    expect(commands).toContainEqual(expect.stringMatching(/^npm ci/u));
  });
});

describe('what is shown is what came', () => {
  test.each([
    ['one\n…\nfour', 'one\ntwo\nthree\nfour', true],
    ['one\n…\nfour', 'one\nfour', true],
    ['one … three', 'one two three', true],
    ['one … three', 'one two\nthree', false],
    ['one', 'one\ntwo', false],
    ['two', 'one\ntwo', false],
    ['a.c', 'abc', false],
    ['…\ntwo', 'one\ntwo\n', true],
  ])('%j of %j: %s', (shown, came, is) => {
    expect(isAsShown(shown, came)).toBe(is);
  });
});
