/**
 * Every reachable state, with the invariants at the head of machine.ts held against it by an oracle that
 * shares no code with the machine (reachable/oracle.ts).
 */
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Explored, explore, type Place, powerUps, stepsFrom } from './reachable/explore.ts';
import {
  equipmentTold,
  everythingTold,
  HOLD_TICKS,
  MENDED,
  POLICY,
  PRESSED,
  STEP_TICKS,
  theTellingPart,
} from './reachable/world.ts';

const { LEAKBENCH_LONG, LEAKBENCH_MUTATE } = process.env;
/** Seconds for each mutant: few walks have to find it, and nothing else here. */
const isMutated = LEAKBENCH_MUTATE !== undefined;
const WALKS = isMutated ? 60 : 300;
const TWO_CIRCUITS = { ...POLICY, circuits: ['a', 'b'] };

/** Enough to know that the enumeration has not lost its way; the log says how many it is today. */
const PLACES_MIN = 1000;
const STEPS_MIN = 300_000;

describe.skipIf(isMutated)('one circuit, a Modbus sensor and a contact', () => {
  let explored: Explored;
  beforeAll(() => {
    explored = explore(POLICY, theTellingPart());
  });

  it('keeps every invariant in every reachable state', () => {
    expect(Object.fromEntries(explored.wrong)).toEqual({});
    expect(explored.places.length).toBeGreaterThan(PLACES_MIN);
    expect(explored.steps).toBeGreaterThan(STEPS_MIN);
  });

  it('reaches every phase, and serves and mitigates on its way', () => {
    const phases = new Set(explored.places.map(({ state }) => state.phase.kind));
    expect([...phases].sort()).toEqual([
      ...['fire', 'holding', 'lockedOut', 'mitigating', 'running', 'starting'],
    ]);
    expect(explored.places.some(({ state }) => state.commands.heat)).toBe(true);
    expect(explored.places.some(({ state }) => state.commands.compressors[0] === true)).toBe(true);
  });

  it('serves again from every reachable state, once all is mended and a person has pressed reset', () => {
    const stuck = explored.places.filter((place) => !servesAgain(place));
    expect(stuck.map(({ state }) => state)).toEqual([]);
  });
});

/** Mended for a tick, then a press, then the hold and the minimum time off with some ticks to spare. */
function servesAgain(place: Place): boolean {
  let at = place;
  for (let tick = 0; tick < HOLD_TICKS + 5; tick += 1) {
    const next = stepsFrom(at, tick === 1 ? PRESSED : MENDED, 1, POLICY).at(-1);
    if (next === undefined || next.wrong.length > 0) return false;
    at = next.place;
  }
  return at.state.commands.compressors[0] === true;
}

describe('two circuits', () => {
  it('keep every invariant on any walk', () => {
    const told = [...equipmentTold(), ...everythingTold()];
    const step = fc.tuple(fc.nat(told.length - 1), fc.constantFrom(...STEP_TICKS), fc.boolean());
    fc.assert(
      fc.property(fc.nat(3), fc.array(step, { maxLength: 60, size: 'max' }), (start, steps) => {
        let at = powerUps(TWO_CIRCUITS)[start];
        for (const [index, ticks, records] of steps) {
          const what = told[index];
          if (at === undefined || what === undefined) throw new Error('nowhere');
          const next = stepsFrom(at, what, ticks, TWO_CIRCUITS).at(records ? -1 : 0);
          expect(next?.wrong).toEqual([]);
          at = next?.place;
        }
      }),
      { numRuns: WALKS },
    );
  });
});

describe.runIf(LEAKBENCH_LONG === '1')('in the long form', () => {
  it('all combinations reach no other state than the telling part, and break nothing', () => {
    const every = explore(POLICY, everythingTold());
    report('one circuit, all combinations', every);
    expect(Object.fromEntries(every.wrong)).toEqual({});
    expect(every.places.length).toBe(explore(POLICY, theTellingPart()).places.length);
  }, 1_200_000);

  it('two circuits keep every invariant in every reachable state', () => {
    const every = explore(TWO_CIRCUITS, equipmentTold());
    report('two circuits', every);
    expect(Object.fromEntries(every.wrong)).toEqual({});
  }, 1_200_000);
});

function report(what: string, { places, steps }: Explored): void {
  process.stderr.write(`${what}: ${places.length} states, ${steps} transitions\n`);
}
