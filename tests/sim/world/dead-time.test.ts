/** A dead time in the air of a rig: what a sensor without it showed, exactly so much later. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { applyStep, World } from '../../../sim/world/index.ts';
import { type Rig, timeConstantMs } from '../../../src/rig/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const DEAD_MS = 2000;
const EVERY_MS = 250;

/** coil-b is coil-a behind a dead time: the same lag. */
function twins(): Rig {
  const rig = demoRig();
  const sensors = rig.sensors.map((one) =>
    one.id === 'coil-b' ? { ...one, responseT90Ms: ms(10_000 + DEAD_MS), deadTimeMs: ms(DEAD_MS) } : one,
  );
  return { ...rig, sensors };
}
const RIG = twins();

/** The same done to both; a fault of a t90 names each its own. */
const DEEDS: Readonly<Record<string, readonly unknown[]>> = {
  leak: [{ release: { at: 'cabinet', rate: '10 g/s', lasts: '20 s' } }],
  roomLeak: [{ release: { at: 'room-low', rate: '10 g/s', lasts: '5 s' } }],
  stop: [{ release: 'off' }],
  hose: ['coil-a', 'coil-b'].map((at) => ({ testGas: { at, level: '40 %LFL', lasts: '3 s' } })),
  elsewhere: ['coil-a', 'coil-b'].map((id) => ({
    fault: { in: id, kind: 'misplaced', at: 'room-low', lasts: '8 s' },
  })),
  slow: [
    { fault: { in: 'coil-a', kind: 'slow', t90: '40 s', lasts: '7 s' } },
    { fault: { in: 'coil-b', kind: 'slow', t90: '42 s', lasts: '7 s' } },
  ],
};

function worldOf(rig: Rig): World {
  return new World(rig, { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe: () => undefined });
}

/** What is no step: the fan, commanded over the wire, with the field I/O's watchdog behind it. */
function blow(world: World, on: boolean, now: Ms): void {
  world.serve('main', 200, Uint8Array.of(5, 0, 0, on ? 0xff : 0, 0), now);
}

test('the lag is what the t90 leaves beside the dead time', () => {
  const [one, late] = RIG.sensors.map((sensor) => timeConstantMs(sensor));
  expect(late).toBe(one);
});

test('a sensor shows what one without dead time showed so long ago, whatever happens to air and sensors', () => {
  const happenings = fc.array(
    fc.tuple(fc.constantFrom(...Object.keys(DEEDS), 'blow', 'still'), fc.integer({ min: 0, max: 6000 })),
    { minLength: 1, maxLength: 12 },
  );
  let seen = 0;
  fc.assert(
    fc.property(happenings, (list) => {
      const world = worldOf(RIG);
      const shown = new Map<number, number>();
      const watchTo = (untilMs: number): void => {
        for (let at = Math.ceil((world.nowMs + 1) / EVERY_MS) * EVERY_MS; at <= untilMs; at += EVERY_MS) {
          world.advance(ms(at));
          shown.set(at, world.atmosphere.sensed(0, ms(at)));
          const before = shown.get(at - DEAD_MS) ?? 0;
          expect(world.atmosphere.sensed(1, ms(at))).toBeCloseTo(before, 9);
          if (before > 1) seen += 1;
        }
      };
      let now = 0;
      applyStep(world, stepFor(RIG, DEEDS['leak']?.[0]), ms(0));
      for (const [deed, pauseMs] of list) {
        now += pauseMs;
        watchTo(now);
        if (deed === 'blow' || deed === 'still') blow(world, deed === 'blow', ms(now));
        for (const written of DEEDS[deed] ?? []) applyStep(world, stepFor(RIG, written), ms(now));
      }
      watchTo(now + 40_000);
    }),
    { numRuns: 60 },
  );
  expect(seen, 'there was gas to see').toBeGreaterThan(1000);
});

test('a contact with a dead time switches so much later', () => {
  const rig = demoRig();
  const late = (deadTime: number, t90: number): number => {
    const sensors = rig.sensors.map((one) =>
      one.id === 'grille' ? { ...one, responseT90Ms: ms(t90), deadTimeMs: ms(deadTime) } : one,
    );
    const world = worldOf({ ...rig, sensors });
    applyStep(world, stepFor(rig, { testGas: { at: 'grille', level: '40 %LFL' } }), ms(0));
    const isClosed = (): boolean => [...world.wired().contactClosed][0]?.[1] === true;
    let at = 0;
    for (; isClosed() && at < 60_000; at += 1) world.advance(ms(at));
    return at;
  };
  expect(late(2000, 12_000) - late(0, 10_000)).toBe(2000);
});
