import { stripVTControlCharacters } from 'node:util';
import { describe, expect, it } from 'vitest';
import { reportTerminal } from '../../../../src/app/report/terminal.ts';
import { brokenVerdict, drillOf, heldVerdict, hungVerdict } from './stories.ts';

const plain = { colour: false, width: 100 };
const linesOf = (text: string): readonly string[] => text.split('\n');

describe('a terminal report', () => {
  it('says in four lines that a drill held', () => {
    expect(linesOf(reportTerminal([heldVerdict()], plain)).slice(0, 5)).toEqual([
      'HELD    A coil leaks while it cools',
      '  seed 7, controller builtin, in virtual time',
      '  held    respond  +14.2 s  0:01:06  coil-a  mitigates in time when a sensor reports gas',
      '  not exercised: fire',
      '',
    ]);
  });

  it('tells a limit that was kept without anything having been done for it', () => {
    const held = heldVerdict();
    const rules = held.rules.map((rule) => ({ ...rule, stoodAlready: true as const }));
    expect(linesOf(reportTerminal([{ ...held, rules }], plain)).slice(2, 5)).toEqual([
      '  held    respond  +14.2 s  0:01:06  coil-a',
      '          mitigates in time when a sensor reports gas (mitigation stood already)',
      '  not exercised: fire',
    ]);
  });

  it('tells what broke first, each with the facts behind it', () => {
    const lines = linesOf(reportTerminal([brokenVerdict()], plain));
    const at = lines.findIndex((line) => line.startsWith('  broken  recheck '));
    expect(lines[at]).toBe('  broken  recheck      -318.0 s  0:06:30  coil-a  looks again before it lets go');
    expect(lines[at + 1]).toBe('          - coil-a first reported gas at 0:01:05 (20.2 %LFL)');
    const results = lines
      .map((line) => line.slice(2, 8).trim())
      .filter((word) => /^(?:held|broken)$/u.test(word));
    // Rules by concern, then the expectations in the drill's own order.
    expect(results.join(' ')).toBe('broken broken broken held held held held held held held broken');
  });

  it('keeps columns aligned, the figures on their right', () => {
    const rules = linesOf(reportTerminal([brokenVerdict()], plain)).filter((line) =>
      /^ {2}\w+ {2,}\S+ +[-+]/u.test(line),
    );
    expect(rules).toHaveLength(9);
    expect(new Set(rules.map((line) => line.indexOf(' s  0:')))).toHaveProperty('size', 1);
  });

  it('says how to run a broken drill again, on one line that can be copied', () => {
    expect(linesOf(reportTerminal([hungVerdict()], { ...plain, width: 50 }))).toContain(
      String.raw`  Again: leakbench drill drills/lingering-gas.drill.yaml --seed 7 --controller 'exec:./stub.sh --name '\''Tide Street'\'''`,
    );
  });

  it('shows why a run failed, and what was skipped', () => {
    const text = reportTerminal([hungVerdict()], plain);
    expect(text).toContain('  ! The controller gave no answer within 5 s.\n');
    expect(text).toContain('  Note: The power step at 0:02:00 was skipped');
  });

  it('ends with an overview of several drills, the count and the caution', () => {
    const lines = linesOf(reportTerminal([heldVerdict(), brokenVerdict(), hungVerdict()], plain));
    expect(lines.slice(-7)).toEqual([
      'HELD    A coil leaks while it cools',
      'BROKEN  Gas lingers past the hold: silent, recheck, hold, an expectation',
      'BROKEN  Gas lingers past the hold: the run itself',
      '',
      '1 of 3 drills held.',
      'Simulation and training only: not a safety device, not certified or listed, no proof of compliance.',
      '',
    ]);
  });
});

describe('colour', () => {
  it('is left out where it is not wanted', () => {
    const text = reportTerminal([brokenVerdict(), hungVerdict()], plain);
    expect(stripVTControlCharacters(text)).toBe(text);
  });

  it('adds nothing but colour: every result stands in words too', () => {
    const painted = reportTerminal([heldVerdict(), brokenVerdict()], { ...plain, colour: true });
    expect(painted).toContain('\u001b[31m');
    expect(stripVTControlCharacters(painted)).toBe(reportTerminal([heldVerdict(), brokenVerdict()], plain));
  });
});

describe('width', () => {
  it.each([60, 80, 100])('keeps to %i columns, but for a command to copy', (width) => {
    const verdicts = [heldVerdict(), brokenVerdict(), hungVerdict()];
    const lines = linesOf(reportTerminal(verdicts, { colour: false, width }));
    const long = lines.filter((line) => line.length > width);
    expect(long.filter((line) => !line.startsWith('  Again: '))).toEqual([]);
    expect(lines.length).toBeGreaterThan(30);
  });

  it('takes a width that nobody knows', () => {
    expect(reportTerminal([heldVerdict()], { colour: false, width: undefined })).toBe(
      reportTerminal([heldVerdict()], { colour: false, width: 110 }),
    );
  });
});

it('lets no name of a drill move the cursor', () => {
  const drill = drillOf({ name: 'a\u001b[2J\rb', rules: ['respond', 'fire'], expectations: [] });
  expect(linesOf(reportTerminal([heldVerdict({ drill })], plain))[0]).toBe('HELD    a b');
});
