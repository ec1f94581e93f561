/** Power that is switched as it stands already: nothing happens, and nothing is told. */
import { describe, expect, test } from 'vitest';
import { applyStep, type Observation, World } from '../../../sim/world/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const RIG = demoRig();
const S = 1000;
const MIN = 60 * S;

class Scene {
  readonly told: (readonly [kind: string, what: string, on: boolean, atMs: number])[] = [];
  readonly world = new World(RIG, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 1000,
    observe: (seen: Observation) => {
      if (seen.kind === 'power') this.told.push([seen.kind, seen.to, seen.on, seen.atMs]);
      if (seen.kind === 'terminal') this.told.push([seen.kind, seen.output, seen.on, seen.atMs]);
    },
  });

  power(atMs: number, to: string, change: object): this {
    expect(applyStep(this.world, stepFor(RIG, { power: { to, ...change } }), ms(atMs))).toBeNull();
    return this;
  }

  switched() {
    return this.told.filter(([kind]) => kind === 'power');
  }

  /** All coils on, as a controller would write them. */
  command(atMs: number): this {
    this.world.advance(ms(atMs));
    this.world.io.coils.fill(1);
    this.world.commandedUntil(ms(atMs));
    this.world.settle();
    this.told.length = 0;
    return this;
  }
}

describe.each(['rig', 'controller', 'coil-a'])('power of %s', (to) => {
  test('restored where it was never cut, or was restored by itself: commands stay, nothing is told', () => {
    const scene = new Scene().command(MIN).power(MIN, to, { restored: true });
    expect(scene.told).toEqual([]);
    expect([...scene.world.io.coils]).not.toContain(0);
    scene.power(MIN, to, { cut: '10 s' }).world.advance(ms(MIN + 10 * S));
    scene.command(2 * MIN).power(2 * MIN, to, { restored: true });
    expect(scene.told).toEqual([]);
    expect([...scene.world.io.coils]).not.toContain(0);
  });

  test('cut again while it is cut: told once, and as long as the later cut says', () => {
    const scene = new Scene().power(0, to, { cut: '10 s' }).power(5 * S, to, { cut: '1 min' });
    scene.world.advance(ms(5 * S + MIN - 1));
    expect(scene.switched()).toEqual([['power', to, false, 0]]);
    scene.world.advance(ms(5 * S + MIN));
    expect(scene.switched().at(-1)).toEqual(['power', to, true, 5 * S + MIN]);
    expect(scene.switched()).toHaveLength(2);
  });

  test('cut for good while it is cut for a time: stays away until it is restored', () => {
    const scene = new Scene().power(0, to, { cut: '10 s' }).power(5 * S, to, { cut: 'stays' });
    scene.world.advance(ms(MIN));
    expect(scene.world.unpowered.has(to)).toBe(true);
    scene.power(MIN, to, { restored: true });
    expect(scene.switched().map(([, , on]) => on)).toEqual([false, true]);
  });
});

test('a sensor that is switched on again does not test itself anew', () => {
  const { world } = new Scene().power(MIN, 'coil-a', { restored: true });
  expect(world.units[0]?.device.poweredSinceMs).toBe(0);
});
