import { describe, expect, it } from 'vitest';
import { runAgain } from '../../../../src/app/report/run-again.ts';
import { verdictOf } from '../../../../src/app/report/verdict.ts';
import { byConcern, marginText, tallyOf, whatBroke } from '../../../../src/app/report/words.ts';
import { brokenVerdict, drillOf, heldVerdict, hungVerdict, partsOf, ruleResult } from './stories.ts';

describe('margins', () => {
  it.each([
    [14.24, '+14.2 s'],
    [-318, '-318.0 s'],
    [-0.04, '-0.040 s'],
    [0.04, '+0.040 s'],
    [0, '+0.0 s'],
    [null, ''],
  ])('%s reads "%s": on which side of the limit it was is never rounded away', (margin, text) => {
    expect(marginText(margin)).toBe(text);
  });
});

describe('what broke', () => {
  it('is named in few words, and a held drill names nothing', () => {
    expect(whatBroke(brokenVerdict())).toEqual(['silent', 'recheck', 'hold', 'an expectation']);
    expect(whatBroke(hungVerdict())).toEqual(['the run itself']);
    expect(whatBroke(heldVerdict())).toEqual([]);
  });

  it('is that not all was done, beside whatever else broke', () => {
    expect(whatBroke(heldVerdict({ leftOut: ['a step'] }))).toEqual(['not all of it was done']);
    expect(whatBroke(brokenVerdict({ leftOut: ['a step'] }))).toContain('not all of it was done');
  });

  it('is that nothing was exercised, where nothing else was', () => {
    const drill = drillOf({ rules: ['fire'], expectations: [] });
    const rules = [ruleResult('fire')];
    expect(whatBroke(verdictOf(partsOf({ drill, rules, expectations: [] })))).toEqual([
      'nothing was exercised',
    ]);
  });
});

it('counts every result of a drill', () => {
  expect(tallyOf(brokenVerdict())).toBe(
    'Rules: 6 held, 3 broken, 9 not exercised, 1 not applicable. Expectations: 1 held, 1 broken.',
  );
});

it('puts broken rules first and those that say nothing last, else in their own order', () => {
  const rules = [
    ruleResult('ask'),
    ruleResult('respond', { result: 'held' }),
    ruleResult('fire', { result: 'broken' }),
    ruleResult('hold', { result: 'held' }),
    ruleResult('chain', { result: 'not applicable' }),
  ];
  expect(byConcern(rules).map((rule) => rule.id)).toEqual(['fire', 'respond', 'hold', 'ask', 'chain']);
});

describe('the command that runs a drill again', () => {
  const run: Parameters<typeof runAgain>[0] = {
    ...{ file: 'a.drill.yaml', seed: 3, controller: 'builtin' },
    ...{ host: 'virtual', liveOptions: [] },
  };

  it('names file and seed, and the rest only where it is not the usual', () => {
    expect(runAgain(run)).toBe('leakbench drill a.drill.yaml --seed 3');
    expect(runAgain({ ...run, rigGiven: 'my.rig.yaml' })).toBe(
      'leakbench drill a.drill.yaml --rig my.rig.yaml --seed 3',
    );
    const liveOptions = ['--speed', '20', '--controller-power', 'sh power.sh'];
    expect(runAgain({ ...run, controller: 'external', host: 'live', liveOptions })).toBe(
      'leakbench drill a.drill.yaml --seed 3 --controller external --live ' +
        "--speed 20 --controller-power 'sh power.sh'",
    );
  });

  it('quotes for a shell what a shell would take apart', () => {
    expect(runAgain({ ...run, file: "it's here.yaml", controller: 'exec:node my.js' })).toBe(
      String.raw`leakbench drill 'it'\''s here.yaml' --seed 3 --controller 'exec:node my.js'`,
    );
  });
});
