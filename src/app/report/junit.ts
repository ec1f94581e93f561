/**
 * `--junit`: one suite a drill, one case a rule and expectation, for build servers.
 *
 * Keeps to what two published schemas have in common, so that readers of either take it: JUnit.xsd of
 * github.com/windyroad/JUnit-Schema (the Ant tasks' form, the stricter one) and junit-10.xsd of
 * github.com/jenkinsci/xunit-plugin. Both were read.
 */

import type { ExpectationResult } from '../../../sim/drill/expectation.ts';
import { RULES, type RuleResult } from '../../../sim/judge/rules.ts';
import { type Made, madeHere } from './made.ts';
import { runAgain } from './run-again.ts';
import { type DrillVerdict, isExercised, SHORTFALLS } from './verdict.ts';
import { ADVICE_HEAD, adviceOf, CAUTION, HOST_WORDS, marginText, momentText } from './words.ts';
import { type Element, element, xmlDocument } from './xml.ts';

const S_PER_MS = 0.001;

export function reportJunit(verdicts: readonly DrillVerdict[], made: Made = madeHere()): string {
  return xmlDocument(
    element(
      'testsuites',
      {},
      verdicts.map((verdict, index) => suite(verdict, index, made)),
    ),
  );
}

interface Case {
  readonly name: string;
  readonly outcome: null | {
    readonly kind: 'failure' | 'error' | 'skipped';
    readonly type: string;
    readonly message: string;
    readonly because: readonly string[];
  };
}

function suite(verdict: DrillVerdict, index: number, made: Made): Element {
  const cases = [
    ...runCase(verdict),
    ...verdict.rules.map(ruleCase),
    ...verdict.expectations.map(expectationCase),
  ];
  const count = (kind: string): number => cases.filter((one) => one.outcome?.kind === kind).length;
  const { startMs, endMs } = verdict.trace;
  return element(
    'testsuite',
    {
      name: verdict.name,
      package: 'leakbench',
      id: index,
      // The schema knows neither a zone nor fractions.
      timestamp: made.at.toISOString().slice(0, 19),
      // Not the machine's own name: a report is handed on.
      hostname: 'localhost',
      tests: cases.length,
      failures: count('failure'),
      errors: count('error'),
      skipped: count('skipped'),
      time: seconds(endMs - startMs),
    },
    [
      element('properties', {}, propertiesOf(verdict, made)),
      ...cases.map((one) => caseElement(one, verdict.name)),
      element('system-out', {}, [lines([...verdict.notes, ...adviceLines(verdict), CAUTION])]),
      element('system-err', {}, [lines(verdict.trouble)]),
    ],
  );
}

function adviceLines(verdict: DrillVerdict): readonly string[] {
  return adviceOf(verdict).map((text) => `${ADVICE_HEAD}: ${text}`);
}

function propertiesOf(verdict: DrillVerdict, made: Made): readonly Element[] {
  const { file, seed, controller, host } = verdict;
  const properties = {
    verdict: verdict.verdict,
    file,
    seed,
    controller,
    host: HOST_WORDS[host],
    leakbench: made.version,
    node: made.node,
    runAgain: runAgain(verdict),
  };
  return Object.entries(properties).map(([name, value]) => element('property', { name, value }, []));
}

function caseElement({ name, outcome }: Case, classname: string): Element {
  // Cases share one run: none has a time of its own.
  const attributes = { name, classname, time: '0' };
  if (outcome === null) return element('testcase', attributes, []);
  const { kind, type, message, because } = outcome;
  return element('testcase', attributes, [element(kind, { message, type }, [lines(because)])]);
}

/** Only where no other case would show why the drill is broken. */
function runCase({ trouble, shortfall, leftOut }: DrillVerdict): readonly Case[] {
  const [first] = trouble;
  if (first !== undefined) {
    return [
      { name: 'the run', outcome: { kind: 'error', type: 'trouble', message: first, because: trouble } },
    ];
  }
  if (shortfall === null) return [];
  const message = SHORTFALLS[shortfall].says;
  return [{ name: 'the run', outcome: { kind: 'failure', type: shortfall, message, because: leftOut } }];
}

function ruleCase(rule: RuleResult): Case {
  const { id, result, because } = rule;
  const { words, tier, source } = RULES[id];
  const name = `${id}: ${words}`;
  if (result === 'held') return { name, outcome: null };
  if (!isExercised(rule))
    return { name, outcome: { kind: 'skipped', type: result, message: result, because } };
  const where = [rule.sensor, momentText(rule.atMs), marginText(rule.marginS)].filter(Boolean).join(', ');
  const message = where === '' ? `broken: ${words}` : `broken: ${words} (${where})`;
  return {
    name,
    outcome: { kind: 'failure', type: tier, message, because: [...because, `Source: ${source}.`] },
  };
}

function expectationCase({ text, result, because }: ExpectationResult): Case {
  const name = `expect: ${text}`;
  if (result === 'held') return { name, outcome: null };
  return { name, outcome: { kind: 'failure', type: 'expectation', message: `broken: ${text}`, because } };
}

function seconds(durationMs: number): string {
  return (durationMs * S_PER_MS).toFixed(3);
}

function lines(all: readonly string[]): string {
  return all.join('\n');
}
