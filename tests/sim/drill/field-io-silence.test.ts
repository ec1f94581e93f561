/** When the field I/O counts as silent, and what its watchdog does over a lost request. */
import { describe, expect, test } from 'vitest';
import { COOLING, FIELD_IO, INPUTS, requestsOf, Scene } from './scene.ts';

const SEEN = { atMs: 0, value: true } as const;
const off = (fromMs: number, toMs: number) => [
  SEEN,
  { atMs: fromMs, value: false },
  { atMs: toMs, value: true },
];

describe('a field I/O', () => {
  /** Silent for `seconds` from 10 s on, and asked its inputs at these. */
  const silent = (seconds: number, ...askedAt: readonly number[]): Scene => {
    const fault = { in: 'fieldIo', kind: 'io-silent', lasts: `${seconds} s` };
    return askedAt.reduce(
      (scene, at) => scene.at(at).ask(FIELD_IO, INPUTS),
      new Scene().at(10).step({ fault }),
    );
  };

  test('is silent from the first request without an answer, once that lasts for silentAfter', () => {
    expect(silent(9, 11, 14, 18, 20, 21).trace().fieldIoAnswers).toEqual(off(11_000, 20_000));
    expect(silent(5.5, 11, 14, 16).trace().fieldIoAnswers).toEqual(off(11_000, 16_000));
    expect(silent(9, 11, 14).at(16).trace().fieldIoAnswers).toEqual(off(11_000, 16_000));
  });

  test('is not silent for less, be it ever so often', () => {
    expect(silent(5, 11, 13, 15.999).trace().fieldIoAnswers).toEqual([SEEN]);
    expect(silent(5, 11, 14).at(15.999).trace().fieldIoAnswers).toEqual([SEEN]);
    const lossy = { in: 'fieldIo', kind: 'lossy', probability: 0.5 };
    const scene = new Scene().at(10).step({ fault: lossy });
    for (let second = 11; second < 40; second += 1)
      scene.at(second).ask(FIELD_IO, INPUTS).ask(FIELD_IO, INPUTS);
    const lost = requestsOf(scene.trace(), 'grille').filter(({ answer }) => answer === null);
    expect(lost.length).toBeGreaterThan(15);
    expect(scene.trace().fieldIoAnswers).toEqual([SEEN]);
  });

  test('is silent while another device answers in its place, though that takes its commands for its own', () => {
    const scene = new Scene().at(10).step({ fault: { in: 'fieldIo', kind: 'same-address', heard: 'both' } });
    const heard = scene.at(11).ask(FIELD_IO, INPUTS).at(12).ask(FIELD_IO, INPUTS);
    expect(heard.trace().fieldIoAnswers).toEqual([SEEN]);
    heard.step({ fault: { in: 'fieldIo', kind: 'wrong-transaction' } }).step({ fire: 'on' });
    for (let second = 13; second < 20; second += 1)
      scene
        .at(second)
        .ask(FIELD_IO, INPUTS)
        .write(...COOLING);
    expect(scene.trace().fieldIoAnswers.slice(0, 2)).toEqual(off(13_000, 20_000).slice(0, 2));
  });

  test('owes an answer from a request that got none to the next that got one, however soon that came', () => {
    const { fieldIoOwes, fieldIoAnswers } = silent(3, 11, 12, 14, 20).trace();
    expect(fieldIoOwes).toEqual([
      { atMs: 0, value: false },
      { atMs: 11_000, value: true },
      { atMs: 14_000, value: false },
    ]);
    expect(fieldIoAnswers).toEqual([SEEN]);
    expect(silent(30, 11, 12).at(13).trace().fieldIoOwes.at(-1)).toEqual({ atMs: 13_000, value: false });
    expect(silent(30, 11, 12).at(30).trace().fieldIoOwes.at(-1)).toEqual({ atMs: 12_000, value: false });
  });

  test('is not silent because nobody asks', () => {
    expect(silent(30, 11).at(30).trace().fieldIoAnswers).toEqual([SEEN]);
    expect(silent(30, 11, 12, 22.001).at(23).trace().fieldIoAnswers).toEqual([SEEN]);
    expect(silent(30, 11, 12, 22).at(23).trace().fieldIoAnswers).toEqual(off(11_000, 23_000));
    expect(silent(30, 11, 12, 17, 30).at(31).trace().fieldIoAnswers).toEqual(off(11_000, 17_000));
  });

  test('whose watchdog lets go over a lost request holds what nobody commanded, until it is written', () => {
    const lossy = { in: 'fieldIo', kind: 'io-silent', lasts: '2 s' };
    const start = () => new Scene().at(10).write(...COOLING);
    const over = (lostAt: number) =>
      start()
        .at(lostAt)
        .step({ fault: lossy })
        .ask(FIELD_IO, INPUTS)
        .at(lostAt + 3)
        .ask(FIELD_IO, INPUTS)
        .at(30)
        .write(...COOLING)
        .trace().commandsLost;
    const none = { atMs: 0, value: false };
    const held = [none, { atMs: 15_000, value: true }, { atMs: 30_000, value: false }];
    expect(over(11)).toEqual(held);
    expect(over(14)).toEqual(held);
    expect(over(20)).toEqual([none]);
    const cut = start().at(11).step({ fault: lossy }).ask(FIELD_IO, INPUTS).at(16);
    const power = { power: { to: 'rig', cut: 'stays' } };
    expect(cut.step(power).at(20).trace().commandsLost).toEqual([
      ...held.slice(0, 2),
      { atMs: 16_000, value: false },
    ]);
    const rare = start()
      .at(11)
      .ask(FIELD_IO, INPUTS)
      .at(20)
      .write(...COOLING);
    expect(rare.trace().commandsLost).toEqual([none]);
  });
});
