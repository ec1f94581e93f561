import { describe, expect, it } from 'vitest';
import { pollReportSchema } from '../../../src/api/poll-report-schema.ts';
import { rigViewSchema } from '../../../src/api/rig-view-schema.ts';
import { snapshotSchema } from '../../../src/api/snapshot-schema.ts';
import type { PollReport } from '../../../src/page/polls/types.ts';
import { countdown, lampWords, outputText, parameterText, T } from '../../../src/page/texts/index.ts';
import type { RigView, Snapshot } from '../../../src/page/types.ts';
import { wrongPolls } from '../../browser/harness/polls.ts';
import { RIG } from '../../browser/harness/rig.ts';
import { tellStory } from '../../browser/harness/story.ts';

describe('the words of the page', () => {
  it('never reads a hold that has not passed as 00:00', () => {
    expect([300_000, 299_001, 61_000, 1, 0].map(countdown)).toEqual([
      '05:00',
      '05:00',
      '01:01',
      '00:01',
      '00:00',
    ]);
  });

  it('says a lamp’s colour, rate and meaning', () => {
    expect(lampWords({ colour: 'red', hz: 2, word: 'gas' })).toBe('red, 2 flashes a second: gas');
    expect(lampWords({ colour: 'yellow', hz: 0.5, word: 'failed' })).toBe(
      'yellow, a flash every 2 s: failed',
    );
    expect(lampWords({ colour: 'green', hz: 0, word: 'measuring' })).toBe('green: measuring');
    expect(lampWords({ colour: 'off', hz: 0, word: 'no power' })).toBe('dark: no power');
    expect(lampWords(null)).toBe('no lamp');
  });

  it('names outputs as people do', () => {
    expect(outputText('compressor.a')).toBe('compressor a');
    expect(outputText('damper')).toBe('dampers');
  });

  it('tells a time that has just begun without a flicker', () => {
    expect(T.since(60_000, 60_400)).toBe('since 0:01:00, for 0 s');
    expect(T.since(60_000, 192_900)).toBe('since 0:01:00, for 2 min 12 s');
  });
});

describe('a parameter of a fault that stands', () => {
  it.each([
    ['by', 1999, true, 'by 1.999 s'],
    ['by', 2001, true, 'by 2.001 s'],
    ['halfLife', 1_800_000, true, 'comes back by half in 30 min'],
    ['every', 2, true, 'every 2 ms'],
    ['factor', 0.3, false, 'factor 0.3'],
    ['by', { value: -5, unit: '%LFL' }, false, 'by -5 %LFL'],
    ['reads', false, false, 'stands off'],
    ['with', 'coil-b', false, 'with coil-b'],
  ])('%s %j, a time: %s, reads "%s"', (name, value, isTime, text) => {
    expect(parameterText(name, value, isTime)).toBe(text);
  });
});

describe('the shapes the page reads', () => {
  it('are those that the bench promises of its polls', () => {
    const polls: PollReport = pollReportSchema.parse(wrongPolls());
    expect(polls.advice.map(({ id }) => id)).toEqual(['nobody-there', 'counts-from-1', 'never-asked']);
  });

  it('are those that the bench promises', () => {
    // The assignments are the test: the page's own types must take whatever the port's schemas give.
    const snapshot: Snapshot = snapshotSchema.parse(tellStory(30).snapshot);
    const rig: RigView = rigViewSchema.parse(RIG);
    expect(snapshot.nowMs).toBe(30_000);
    expect(rig.sensors).toHaveLength(3);
  });
});
