import { describe, expect, it } from 'vitest';
import { reportJunit } from '../../../../src/app/report/junit.ts';
import { SHORTFALLS, verdictOf } from '../../../../src/app/report/verdict.ts';
import { CAUTION } from '../../../../src/app/report/words.ts';
import { wrongPolls } from '../../../browser/harness/polls.ts';
import { brokenVerdict, drillOf, heldVerdict, hungVerdict, MADE, partsOf, ruleResult } from './stories.ts';

/** That it is valid against both schemas is checked with a real parser, in tests/browser/report.test.ts. */
describe('a build server’s report', () => {
  it('is this document, for a drill that held', () => {
    expect(reportJunit([heldVerdict()], MADE)).toBe(`<?xml version="1.0" encoding="UTF-8"?>
<testsuites>
  <testsuite name="A coil leaks while it cools" package="leakbench" id="0" timestamp="2025-03-01T12:34:56" hostname="localhost" tests="2" failures="0" errors="0" skipped="1" time="1500.000">
    <properties>
      <property name="verdict" value="held"/>
      <property name="file" value="drills/lingering-gas.drill.yaml"/>
      <property name="seed" value="7"/>
      <property name="controller" value="builtin"/>
      <property name="host" value="in virtual time"/>
      <property name="leakbench" value="0.1.0"/>
      <property name="node" value="v20.20.2"/>
      <property name="runAgain" value="leakbench drill drills/lingering-gas.drill.yaml --seed 7"/>
    </properties>
    <testcase name="respond: mitigates in time when a sensor reports gas" classname="A coil leaks while it cools" time="0"/>
    <testcase name="fire: stops everything at a fire signal" classname="A coil leaks while it cools" time="0">
      <skipped message="not exercised" type="not exercised"/>
    </testcase>
    <system-out>Simulation and training only: not a safety device, not certified or listed, no proof of compliance.</system-out>
    <system-err/>
  </testsuite>
</testsuites>
`);
  });

  it('has a case for every rule and expectation, and counts what failed and what was skipped', () => {
    const text = reportJunit([brokenVerdict()], MADE);
    expect(text.match(/<testcase /gu)).toHaveLength(21);
    expect(text.match(/<failure /gu)).toHaveLength(4);
    expect(text.match(/<skipped /gu)).toHaveLength(10);
    expect(text).toContain('tests="21" failures="4" errors="0" skipped="10"');
  });

  it('says in a failure what broke, where, by how much, and the facts behind it', () => {
    expect(reportJunit([brokenVerdict()], MADE)).toContain(
      `<failure message="broken: looks again before it lets go (coil-a, 0:06:30, -318.0 s)" type="published">` +
        'coil-a first reported gas at 0:01:05 (20.2 %LFL)\nthe hold since that report had passed at 0:06:05\n',
    );
  });

  it('tells a run that failed as an error, its lines escaped', () => {
    const text = reportJunit([hungVerdict()], MADE);
    expect(text).toContain('failures="0" errors="1"');
    expect(text).toContain('panic at &lt;state&gt; &amp; &quot;hold&quot; ]]&gt;&lt;/system-err&gt;</error>');
  });

  it('never passes a drill that showed nothing', () => {
    const drill = drillOf({ rules: ['fire'], expectations: [] });
    const empty = verdictOf(partsOf({ drill, rules: [ruleResult('fire')], expectations: [] }));
    expect(reportJunit([empty], MADE)).toContain(
      `<failure message="${SHORTFALLS.empty.says}" type="empty"/>`,
    );
  });

  it('never passes a drill of which a step was left out, and says which', () => {
    const text = reportJunit([heldVerdict({ leftOut: ['the step at 5 s was not carried out'] })], MADE);
    expect(text).toContain('failures="1" errors="0"');
    expect(text).toContain(
      `<failure message="${SHORTFALLS.incomplete.says}" type="incomplete">` +
        'the step at 5 s was not carried out</failure>',
    );
  });

  it('gives advice on how an outside controller asks, beside the notes', () => {
    const pollReport = wrongPolls();
    const text = reportJunit([heldVerdict({ notes: ['it was late'], pollReport }), heldVerdict()], MADE);
    const [first, second] = [...text.matchAll(/<system-out>([^<]*)</gu)].map(([, out]) => out);
    const advice = pollReport.advice.map((one) => `Advice on how the controller asks: ${one.text}`);
    expect(advice.length).toBeGreaterThan(2);
    expect(first?.split('\n')).toEqual(['it was late', ...advice, CAUTION]);
    expect(second).toBe(CAUTION);
  });

  it('holds no sign that XML forbids, and loses no line end in an attribute', () => {
    const drill = drillOf({
      name: 'a\u0000\u001b\ud800b\n"c"',
      rules: ['respond', 'fire'],
      expectations: [],
    });
    const text = reportJunit([heldVerdict({ drill })], MADE);
    expect(text).toContain('name="a\ufffd\ufffd\ufffdb&#10;&quot;c&quot;"');
  });
});
