import { expect, it } from 'vitest';
import { packageVersion } from '../../../../src/app/package-version.ts';
import { reportJson } from '../../../../src/app/report/json.ts';
import { CAUTION } from '../../../../src/app/report/words.ts';
import { wrongPolls } from '../../../browser/harness/polls.ts';
import { brokenVerdict, heldVerdict } from './stories.ts';

interface Document {
  readonly caution: string;
  readonly leakbench: string;
  readonly drills: readonly {
    readonly rules: readonly Readonly<Record<string, unknown>>[];
    readonly expectations: readonly unknown[];
  }[];
}

const read = (text: string): Document => JSON.parse(text) as Document;

it('has the promised keys, in every part, and no others', () => {
  const { drills, ...rest } = read(reportJson([brokenVerdict(), heldVerdict()]));
  expect(rest).toEqual({ caution: CAUTION, leakbench: packageVersion() });
  expect(drills).toHaveLength(2);
  for (const drill of drills) {
    const made = ['name', 'file', 'seed', 'controller', 'host', 'runAgain'];
    const head = [...made, 'verdict', 'rules', 'expectations', 'trouble', 'notes'];
    expect(Object.keys(drill)).toEqual(head);
    for (const rule of drill.rules) {
      expect(Object.keys(rule)).toEqual(['id', 'result', 'margin', 'unit', 'atMs', 'sensor', 'because']);
    }
  }
  expect(drills[0]?.rules).toHaveLength(19);
});

it('tells margins in seconds, and null where there is none', () => {
  const { drills } = read(reportJson([heldVerdict()]));
  expect(drills[0]).toMatchObject({ name: 'A coil leaks while it cools', seed: 7, verdict: 'held' });
  expect(drills[0]?.rules).toEqual([
    {
      id: 'respond',
      result: 'held',
      margin: 14.2,
      unit: 's',
      atMs: 66_000,
      sensor: 'coil-a',
      because: [],
    },
    { id: 'fire', result: 'not exercised', margin: null, unit: 's', atMs: null, sensor: null, because: [] },
  ]);
});

it('tells each expectation with what became of it', () => {
  const { drills } = read(reportJson([brokenVerdict()]));
  expect(drills[0]?.expectations[1]).toEqual({
    text: 'at 15 min, then compressor.a',
    result: 'broken',
    because: ['compressor.a was off at 0:15:00'],
  });
});

it('tells what somebody else’s controller asked, beside all that is promised', () => {
  const pollReport = wrongPolls();
  const { drills } = read(reportJson([heldVerdict({ pollReport }), heldVerdict()]));
  expect(drills[0]).toMatchObject({ verdict: 'held', pollReport });
  expect(drills[1]).not.toHaveProperty('pollReport');
});

it('tells of each drill who was judged, where, and how to run it again', () => {
  const run = { controller: 'external', host: 'live', liveOptions: ['--speed', '10'] } as const;
  const { drills } = read(reportJson([heldVerdict(run)]));
  const runAgain =
    'leakbench drill drills/lingering-gas.drill.yaml --seed 7 --controller external --live --speed 10';
  expect(drills[0]).toMatchObject({ controller: 'external', host: 'live', runAgain });
});

it('is one document that ends its last line', () => {
  const text = reportJson([]);
  expect(text).toMatch(/\}\n$/u);
  expect(read(text).drills).toEqual([]);
});
