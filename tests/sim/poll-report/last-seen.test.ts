/** What is mended stays on the list, and says since when it is no longer seen. */
import { expect, test } from 'vitest';
import type { AdviceId } from '../../../sim/poll-report/advice.ts';
import {
  Asking,
  BOTH,
  COIL_A,
  COIL_B,
  command,
  IO,
  RIGHT_A,
  read,
  registers,
  rightCycle,
  rigWithCoilB,
} from './asking.ts';

type Mistake = (asking: Asking, turn: number) => void;

const sensors =
  (...asked: readonly (readonly [number, readonly number[]])[]): Mistake =>
  (asking) => {
    rightCycle(asking, asked);
  };

const MISTAKES: readonly (readonly [AdviceId, Mistake])[] = [
  ['unit-0-or-255', sensors(...BOTH, [255, read(4, 0, 19)])],
  ['nobody-there', sensors(...BOTH, [22, read(4, 0, 19)])],
  ['two-functions', sensors(...BOTH, [COIL_A, read(3, 0, 19)])],
  ['refused', sensors(...BOTH, [COIL_A, read(4, 0, 30)])],
  ['asked-twice', sensors(...BOTH, RIGHT_A)],
  [
    'too-slow',
    (asking, turn) => {
      rightCycle(asking, turn % 20 === 0 ? BOTH : [RIGHT_A]);
    },
  ],
  [
    'commands-missing',
    (asking, turn) => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      if (turn % 7 === 0) command(asking);
    },
  ],
  [
    'silent-stalls-others',
    (asking) => {
      for (const seconds of [4, 4, 4, 4]) {
        asking.timeoutMs = seconds * 1000;
        asking.ask(255, read(4, 0, 19));
        command(asking);
      }
      asking.timeoutMs = 50;
      rightCycle(asking);
    },
  ],
];

test.each(MISTAKES)('%s is dated once it is mended for a while, and not before', (id, mistake) => {
  const asking = new Asking();
  asking.timeoutMs = 50;
  asking.cycles(40, 1000, (turn) => {
    mistake(asking, turn);
  });
  rightCycle(asking);
  expect(asking.said()).toContain(id);
  expect(asking.text(id)).not.toContain('last seen');
  asking.cycles(60, 1000, () => {
    rightCycle(asking);
  });
  expect(asking.text(id)).toMatch(/ This was last seen at 0:\d\d:\d\d of bench time\.$/u);
});

test('a number written with its words exchanged is dated by that write, not by the next', () => {
  const asking = new Asking(rigWithCoilB({ profile: 'holding-floats' }));
  const cycle = (high: number, low: number): void => {
    asking.cycles(30, 1000, () => {
      rightCycle(asking, [RIGHT_A, [COIL_B, read(3, 32, 34)], [COIL_B, registers(36, high, low)]]);
    });
  };
  cycle(0x41a0, 0);
  expect(asking.text('word-order')).not.toContain('last seen');
  cycle(0, 0x41a0);
  expect(asking.text('word-order')).toMatch(/ This was last seen at 0:00:29 of bench time\.$/u);
});

test('what lasts, or says itself when it was, has no date', () => {
  const asking = new Asking();
  asking.cycles(20, 1000, () => {
    rightCycle(asking, [RIGHT_A]);
  });
  asking.nowMs += 60_000;
  asking.cycles(60, 1000, () => {
    rightCycle(asking, [RIGHT_A]);
  });
  expect(asking.said()).toEqual(['never-asked', 'paused']);
  expect(asking.text('never-asked') + asking.text('paused')).not.toContain('last seen');
});
