import { describe, expect, test } from 'vitest';
import { RecentPolls } from '../../../sim/poll-report/index.ts';
import { applyStep, World } from '../../../sim/world/index.ts';
import { type Ms, ms, unitId } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const RIG = demoRig();
const COIL_A = unitId(11);
/** State and status bits. */
const READ_TWO = Uint8Array.of(4, 0, 0, 0, 2);
/** Beyond the last register. */
const READ_BEYOND = Uint8Array.of(4, 1, 0, 0, 2);
const TIMEOUT_MS = RIG.lines[0]?.timeoutMs ?? 0;

function bench() {
  const recent = new RecentPolls(RIG);
  const world = new World(RIG, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 1000,
    observe: recent.observe,
  });
  return {
    ask: (atMs: number, pdu = READ_TWO) => world.serve('main', COIL_A, pdu, ms(atMs)),
    fault: (atMs: number, kind: string, more: object = {}) =>
      applyStep(world, stepFor(RIG, { fault: { in: 'coil-a', kind, ...more } }), atMs as Ms),
    /** Of coil-a, the newest last. */
    outcomes: (atMs: number) => recent.picture(atMs)[0]?.recent.map(({ outcome }) => outcome),
    moments: () => recent.picture(1e9)[0]?.recent.map(({ atMs }) => atMs),
  };
}

describe('the last polls of a unit', () => {
  test('are none before the first', () => {
    const { outcomes } = bench();
    expect(outcomes(5000)).toEqual([]);
  });

  test('are answered, or refused by the device itself', () => {
    const { ask, outcomes } = bench();
    ask(1000);
    ask(2000, READ_BEYOND);
    expect(outcomes(2000)).toEqual(['answered', 'exception']);
  });

  test('wait until the time-out has passed, and are silent from then on', () => {
    const { ask, fault, outcomes } = bench();
    fault(500, 'silent');
    ask(1000);
    expect(outcomes(1000 + TIMEOUT_MS - 1)).toEqual(['waiting']);
    expect(outcomes(1000 + TIMEOUT_MS)).toEqual(['silent']);
  });

  test.each([
    ['late', { by: '100 ms' }, 100, 'answered'],
    ['late', { by: '5 s' }, TIMEOUT_MS, 'silent'],
    ['exception', {}, 0, 'exception'],
    ['garbage', {}, 0, 'broken'],
    ['wrong-unit', {}, 0, 'broken'],
    ['lossy', { probability: 1 }, TIMEOUT_MS, 'silent'],
  ])('%s %j: after %d ms they are %s', (kind, more, afterMs, outcome) => {
    const { ask, fault, outcomes } = bench();
    fault(500, kind, more);
    ask(1000);
    if (afterMs > 0) expect(outcomes(1000 + afterMs - 1)).toEqual(['waiting']);
    expect(outcomes(1000 + afterMs)).toEqual([outcome]);
  });

  test('are twelve at most, the newest last, and the older ones are forgotten', () => {
    const { ask, moments } = bench();
    for (let atMs = 1000; atMs <= 30_000; atMs += 1000) ask(atMs);
    expect(moments()).toEqual(Array.from({ length: 12 }, (_, index) => 19_000 + 1000 * index));
  });
});
