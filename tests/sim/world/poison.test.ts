import { describe, expect, test } from 'vitest';
import { applyStep, type Observation, World } from '../../../sim/world/index.ts';
import { pictureOf } from '../../../sim/world/picture.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const RIG = demoRig();
const H = 3_600_000;
/** With a half-life of an hour, from 0.2: 0.8 / 2^n is 0.01. */
const SOUND_AFTER_MS = Math.ceil(H * Math.log2(80));

class Scene {
  readonly told: (readonly [kind: string, on: boolean, atMs: number])[] = [];
  readonly #world = new World(RIG, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 1000,
    observe: (seen: Observation) => {
      if (seen.kind === 'fault') this.told.push([seen.fault.kind, seen.on, seen.atMs]);
    },
  });

  step(atMs: number, written: unknown): this {
    expect(applyStep(this.#world, stepFor(RIG, written), ms(atMs))).toBeNull();
    return this;
  }

  poison(atMs: number, more: object = {}): this {
    return this.step(atMs, {
      fault: { in: 'coil-a', kind: 'poisoned', factor: 0.2, halfLife: '1 h', ...more },
    });
  }

  to(atMs: number): this {
    this.#world.advance(ms(atMs));
    return this;
  }

  reading(): number | null {
    const [unit] = this.#world.units;
    return unit === undefined ? null : this.#world.valuesOf(unit).gasPercentLfl;
  }

  faults(): readonly string[] {
    return (pictureOf(this.#world, this.#world.nowMs).sensors['coil-a']?.faults ?? []).map(
      ({ kind }) => kind,
    );
  }
}
const gassed = (): Scene => new Scene().step(0, { testGas: { at: 'coil-a', level: '40 %LFL' } });

describe('a poisoned sensor', () => {
  test('that is mended comes round in its own time, and its fault stands until then', () => {
    const scene = gassed()
      .poison(0)
      .step(H, { mend: { in: 'coil-a' } });
    expect([scene.reading(), scene.to(2 * H).reading(), scene.to(3 * H).reading()]).toEqual([8, 24, 32]);
    expect(scene.to(H + SOUND_AFTER_MS - 1).faults()).toEqual(['poisoned']);
    expect(scene.told).toEqual([['poisoned', true, 0]]);
    expect(scene.to(H + SOUND_AFTER_MS).faults()).toEqual([]);
    expect(scene.reading()).toBe(40);
    expect(scene.told).toEqual([
      ['poisoned', true, 0],
      ['poisoned', false, H + SOUND_AFTER_MS],
    ]);
  });

  test('comes round likewise after its time', () => {
    const scene = gassed().poison(0, { lasts: '10 min' });
    expect(scene.to(600_000 + H).reading()).toBe(24);
    expect(scene.to(600_000 + SOUND_AFTER_MS).faults()).toEqual([]);
  });

  test('is not hurried by mending it again, nor does its time begin anew', () => {
    const scene = gassed()
      .poison(0)
      .step(0, { mend: { in: 'coil-a' } });
    scene.step(H, { mend: { in: 'coil-a', kind: 'poisoned' } });
    expect(scene.reading()).toBe(24);
    expect(scene.to(SOUND_AFTER_MS).faults()).toEqual([]);
  });

  test('poisoned again while it comes round stays so until it is mended', () => {
    const scene = gassed()
      .poison(0)
      .step(0, { mend: { in: 'coil-a' } })
      .poison(H);
    expect(scene.to(H + 2 * SOUND_AFTER_MS).reading()).toBe(8);
    expect(scene.faults()).toEqual(['poisoned']);
  });

  test('has its other faults taken out at once', () => {
    const scene = gassed()
      .poison(0)
      .step(0, { fault: { in: 'coil-a', kind: 'frozen-counter' } });
    scene.step(H, { mend: { in: 'coil-a' } });
    expect(scene.faults()).toEqual(['poisoned']);
  });
});
