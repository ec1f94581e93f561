import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  CLASS_LIFE_MS,
  type Class,
  type ClassInput,
  classAt,
  classStep,
  isPresent,
  mayFlip,
  PRESENT_WITHIN_MS,
  SCORES_MAX,
  SEATS_MAX,
  whyNoLesson,
} from '../../../src/class/index.ts';
import { SCORE_MAX } from '../../../src/lesson/index.ts';
import {
  CODE,
  classAfter,
  join,
  LESSON,
  OPEN,
  OPENED_MS,
  RIGHT,
  refusalOf,
  START,
  WRONG,
} from './classes.ts';

const ANN = 'seat-1';
const BOB = 'seat-2';
const REVEAL: ClassInput = { kind: 'revealed' };
const DROP: ClassInput = { kind: 'lessonDropped' };
const answer = (seat: string, given = RIGHT): ClassInput => ({ kind: 'answered', seat, answer: given });
const hand = (to: string | null): ClassInput => ({ kind: 'handGiven', to });
const remove = (seat: string): ClassInput => ({ kind: 'removed', seat });
const many = (count: number): ClassInput[] => Array.from({ length: count }, (_, index) => join(`n${index}`));

describe('a class', () => {
  test('is open with its code and without seats, for twelve hours', () => {
    const open = classAfter(OPEN);
    expect(open).toMatchObject({ code: CODE, seats: [], hand: null, lesson: null, scores: [] });
    expect(classAt(open, OPENED_MS + CLASS_LIFE_MS - 1)).toBe(open);
    expect(classAt(open, OPENED_MS + CLASS_LIFE_MS)).toBeNull();
  });

  test('is the only one, until it is closed or its time is over', () => {
    const open = classAfter(OPEN);
    expect(refusalOf(open, OPEN)).toBe('classOpen');
    expect(classStep(open, { kind: 'closed' }, OPENED_MS)).toEqual({ ok: true, state: null });
    expect(refusalOf(open, OPEN, OPENED_MS + CLASS_LIFE_MS)).toBeNull();
  });

  const inputs = [join('Ann'), remove(ANN), hand(null), START, answer(ANN), REVEAL, DROP, { kind: 'closed' }];
  test.each([...inputs, { kind: 'seen', seat: ANN }] as ClassInput[])(
    'that is not there takes no $kind',
    (input) => {
      const over = classAfter(OPEN, join('Ann'), START);
      expect(refusalOf(null, input)).toBe('noClass');
      expect(refusalOf(over, input, OPENED_MS + CLASS_LIFE_MS)).toBe('noClass');
    },
  );
});

describe('a seat', () => {
  test('has an id of its own, which nobody gets again', () => {
    const left = classAfter(OPEN, join('Ann'), join('Bob'), remove(BOB), join('Bob'));
    expect(left.seats.map(({ id, name }) => [id, name])).toEqual([
      [ANN, 'Ann'],
      ['seat-3', 'Bob'],
    ]);
  });

  test('is present while it is heard of', () => {
    const [seat] = classAfter(OPEN, join('Ann'), { kind: 'seen', seat: ANN }).seats;
    if (seat === undefined) throw new Error('no seat');
    expect(seat.seenAtMs).toBe(OPENED_MS + 2);
    expect(isPresent(seat, seat.seenAtMs + PRESENT_WITHIN_MS)).toBe(true);
    expect(isPresent(seat, seat.seenAtMs + PRESENT_WITHIN_MS + 1)).toBe(false);
  });

  test('is there for as many as the class has, and one more when one is removed', () => {
    const full = classAfter(OPEN, ...many(SEATS_MAX));
    expect(refusalOf(full, join('Zoë'))).toBe('full');
    const left = classStep(full, remove(ANN), OPENED_MS);
    expect(left.ok && refusalOf(left.state, join('Zoë'))).toBeNull();
  });

  test.each(['ann', ' ANN ', 'Ａｎｎ', 'A\u200Dnn'])('has a name that %j cannot take as well', (name) => {
    expect(refusalOf(classAfter(OPEN, join('Ann')), join(name))).toBe('nameTaken');
  });

  test('has a name that can be shown', () => {
    expect(refusalOf(classAfter(OPEN), join(' \n '))).toBe('nameUnusable');
  });

  test('that is not there is neither seen nor removed, answers nothing and gets no hand', () => {
    const open = classAfter(OPEN, START);
    for (const input of [remove(ANN), hand(ANN), answer(ANN), { kind: 'seen', seat: ANN } as const])
      expect(refusalOf(open, input)).toBe('noSeat');
  });
});

describe('the hand', () => {
  const lesson = (to: string | null): Class => classAfter(OPEN, join('Ann'), join('Bob'), START, hand(to));

  test.each([
    [null, false, false],
    ['everybody', true, true],
    [ANN, true, false],
  ])('given to %s lets Ann flip: %s, Bob: %s', (to, ann, bob) => {
    expect([mayFlip(lesson(to), ANN), mayFlip(lesson(to), BOB)]).toEqual([ann, bob]);
  });

  test('flips nothing while the class gathers', () => {
    expect(mayFlip(classAfter(OPEN, join('Ann'), hand('everybody')), ANN)).toBe(false);
  });

  test('ends with the seat that has it, and with no other', () => {
    const after = (gone: string): Class =>
      classAfter(OPEN, join('Ann'), join('Bob'), hand(ANN), remove(gone));
    expect(after(ANN).hand).toBeNull();
    expect(after(BOB).hand).toBe(ANN);
  });
});

describe('a lesson', () => {
  const running = classAfter(OPEN, join('Ann'), join('Bob'), START, answer(ANN), answer(BOB, WRONG));
  const revealed = classAfter(OPEN, join('Ann'), join('Bob'), START, answer(ANN), answer(BOB, WRONG), REVEAL);

  test('takes answers while it runs, and the last one counts, each part of it once', () => {
    const twice = { ...RIGHT, causes: [...RIGHT.causes, ...RIGHT.causes], where: ['coil-a', 'coil-a'] };
    const after = classAfter(OPEN, join('Ann'), START, answer(ANN, WRONG), answer(ANN, twice));
    expect(after.seats[0]?.answer).toEqual(RIGHT);
    expect(after.seats[0]?.score).toBeNull();
  });

  test('takes none before it begins, after it is revealed, and none about parts that are not there', () => {
    expect(refusalOf(classAfter(OPEN, join('Ann')), answer(ANN))).toBe('noLesson');
    expect(refusalOf(revealed, answer(ANN))).toBe('lessonRevealed');
    expect(refusalOf(running, answer(ANN, { ...RIGHT, where: ['boiler'] }))).toBe('unknownPart');
  });

  test('gives its points when it is revealed, none to who gave no answer', () => {
    const after = classAfter(
      OPEN,
      join('Ann'),
      join('Bob'),
      join('Cy'),
      START,
      answer(ANN),
      answer(BOB, WRONG),
      REVEAL,
    );
    expect(after.seats.map(({ score }) => score?.total)).toEqual([SCORE_MAX, 0, 0]);
    expect(
      after.scores.map(({ lesson, seat, answered, score }) => [lesson, seat, answered, score.total]),
    ).toEqual([
      [LESSON.title, 'Ann', true, SCORE_MAX],
      [LESSON.title, 'Bob', true, 0],
      [LESSON.title, 'Cy', false, 0],
    ]);
  });

  test('is revealed once, and only where there is one', () => {
    expect(refusalOf(revealed, REVEAL)).toBe('lessonRevealed');
    expect(refusalOf(classAfter(OPEN), REVEAL)).toBe('noLesson');
    expect(refusalOf(classAfter(OPEN), DROP)).toBe('noLesson');
  });

  test('follows one that is revealed or dropped, never one that runs', () => {
    expect(refusalOf(running, START)).toBe('lessonRunning');
    expect(whyNoLesson(running)).toBe('lessonRunning');
    expect(refusalOf(revealed, START)).toBeNull();
    expect(refusalOf(classAfter(OPEN, START, DROP), START)).toBeNull();
  });

  test('begins without the answers of the one before; its points stay', () => {
    const next = classAfter(OPEN, join('Ann'), START, answer(ANN), REVEAL, START);
    expect(next.seats[0]).toMatchObject({ answer: null, score: null });
    expect(next.scores.map(({ seat }) => seat)).toEqual(['Ann']);
  });

  test('that is dropped gives no points', () => {
    expect(classAfter(OPEN, join('Ann'), START, answer(ANN), DROP)).toMatchObject({
      lesson: null,
      scores: [],
    });
  });

  test('does not begin where there would be no room for its points', () => {
    const row = revealed.scores[0];
    if (row === undefined) throw new Error('no row');
    const full = { ...revealed, scores: Array.from({ length: SCORES_MAX }, () => row) };
    expect(whyNoLesson(full)).toBe('manyScores');
    expect(refusalOf(full, START)).toBe('manyScores');
  });
});

const CONSTANT: readonly ClassInput[] = [OPEN, START, REVEAL, DROP, { kind: 'closed' }];
const seats = fc.integer({ min: 1, max: 5 }).map((number) => `seat-${number}`);
const anyInput: fc.Arbitrary<ClassInput> = fc.oneof(
  fc.constantFrom(...CONSTANT),
  fc.string({ unit: 'grapheme', maxLength: 45 }).map(join),
  seats.map(remove),
  seats.map((seat): ClassInput => ({ kind: 'seen', seat })),
  fc.oneof(seats, fc.constantFrom(null, 'everybody')).map(hand),
  fc.tuple(seats, fc.constantFrom(RIGHT, WRONG)).map(([seat, given]) => answer(seat, given)),
);

test('whatever comes, a class keeps its order', () => {
  const course = fc.array(fc.tuple(anyInput, fc.integer({ min: 0, max: CLASS_LIFE_MS / 4 })), {
    maxLength: 40,
  });
  fc.assert(
    fc.property(course, (inputs) => {
      let state: Class | null = null;
      let now = OPENED_MS;
      for (const [input, laterMs] of [[OPEN, 0] as const, ...inputs]) {
        now += laterMs;
        const before: Class | null = classAt(state, now);
        const stepped = classStep(state, input, now);
        if (!stepped.ok) continue;
        state = stepped.state;
        if (state !== null) keepsOrder(before, state, now);
      }
    }),
  );
});

function keepsOrder(before: Class | null, after: Class, now: number): void {
  const ids = after.seats.map(({ id }) => id);
  expect(new Set(ids).size).toBe(ids.length);
  expect(new Set(after.seats.map(({ name }) => name.toLowerCase())).size).toBe(ids.length);
  expect(now).toBeLessThan(after.expiresAtMs);
  if (after.hand !== null && after.hand !== 'everybody') expect(ids).toContain(after.hand);
  // Points are there once the lesson is revealed, and not before.
  if (after.lesson?.phase === 'running') expect(after.seats.every(({ score }) => score === null)).toBe(true);
  if (before !== null) expect(after.scores.slice(0, before.scores.length)).toEqual(before.scores);
}
