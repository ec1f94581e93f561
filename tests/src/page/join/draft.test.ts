import { describe, expect, it } from 'vitest';
import {
  asAnswer,
  type Draft,
  EMPTY,
  isSame,
  openQuestion,
  withCause,
  withPart,
} from '../../../../src/page/join/draft.ts';

const WHOLE: Draft = { causes: ['leak'], where: ['cabinet'], next: 'find-leak', restart: 'after-mending' };

describe('an answer in the making', () => {
  it('names the first question that is still open, and none where only the place is', () => {
    expect(openQuestion(EMPTY)).toBe('causes');
    expect(openQuestion({ ...WHOLE, next: null })).toBe('next');
    expect(openQuestion({ ...WHOLE, restart: null })).toBe('restart');
    expect(openQuestion({ ...WHOLE, causes: ['none'], where: [] })).toBeNull();
  });

  it('is no answer before the last two questions have theirs', () => {
    expect(asAnswer({ ...WHOLE, next: null })).toBeNull();
    expect(asAnswer({ ...WHOLE, restart: null })).toBeNull();
    expect(asAnswer(WHOLE)).toEqual(WHOLE);
  });

  it('lets nothing wrong and something wrong exclude each other', () => {
    const nothing = withCause({ ...WHOLE, causes: ['leak', 'wire-broken'] }, 'none', true);
    expect(nothing.causes).toEqual(['none']);
    expect(withCause(nothing, 'leak', true).causes).toEqual(['leak']);
    expect(withCause(WHOLE, 'leak', false).causes).toEqual([]);
  });

  it('names a part once, however often it is ticked', () => {
    expect(withPart(withPart(WHOLE, 'fan', true), 'fan', true).where).toEqual(['cabinet', 'fan']);
    expect(withPart(WHOLE, 'cabinet', false).where).toEqual([]);
  });

  it('is the same as what was sent, in whatever order it was ticked', () => {
    const sent = { causes: ['leak', 'none'], where: ['fan', 'room'], next: 'wait', restart: 'runs' } as const;
    expect(isSame({ ...sent, causes: ['none', 'leak'], where: ['room', 'fan'] }, sent)).toBe(true);
    expect(isSame({ ...sent, where: ['room'] }, sent)).toBe(false);
    expect(isSame({ ...sent, restart: null }, sent)).toBe(false);
  });
});
