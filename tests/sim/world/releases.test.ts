/** Releases, layers and shelters in the whole world: what comes out, where it goes, and what is told of it. */
import { describe, expect, test } from 'vitest';
import { applyStep, type Observation, World } from '../../../sim/world/index.ts';
import { pictureOf } from '../../../sim/world/picture.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { stepFor } from '../../helpers/demo.ts';
import { rigOf } from '../../src/survey/rigs.ts';

const LAYERED = ', layers: { low: 0.5 m }';
const rigText = (layers: string): string => `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m, airChanges: 2 /h${layers} }
sensors:
  - { id: coil, at: cabinet, unitId: 11 }
  - { id: low, at: room-low, unitId: 12 }
  - { id: high, at: room-high, unitId: 13 }
  - { id: behind, at: room-low, unitId: 14, exposure: sheltered }
`;
const S = 1000;

class Played {
  readonly rig: Rig;
  readonly world: World;
  readonly seen: Observation[] = [];

  constructor(layers = '') {
    this.rig = rigOf(rigText(layers));
    this.world = new World(this.rig, {
      seed: 1,
      startMs: ms(0),
      serviceDaysLeft: () => 3000,
      observe: (one) => this.seen.push(one),
    });
    // Nobody commands the fan: without power its watchdog does not start it either.
    this.step({ power: { to: 'rig', cut: 'stays' } }, 0);
  }

  /** Null, or why it could not be done. */
  step(written: unknown, atMs: number): string | null {
    return applyStep(this.world, stepFor(this.rig, written), ms(atMs));
  }

  until(atMs: number): this {
    this.world.advance(ms(atMs));
    return this;
  }

  releases(): readonly (readonly [Ms, number])[] {
    return this.seen.flatMap((one) => (one.kind === 'release' ? [[one.atMs, one.rateKgPerS] as const] : []));
  }

  gas(id: string): number {
    const index = this.rig.sensors.findIndex((sensor) => sensor.id === id);
    return this.world.atmosphere.trueGas(index, this.world.nowMs);
  }

  shown(id: string): number {
    const index = this.rig.sensors.findIndex((sensor) => sensor.id === id);
    return this.world.atmosphere.sensed(index, this.world.nowMs);
  }

  chargeLeftKg(): number {
    return this.world.atmosphere.chargeLeftKg(this.world.nowMs);
  }
}

describe('a release', () => {
  test('with a half-life leaves half the charge after one, a quarter after two, and then ends by itself', () => {
    const played = new Played();
    expect(played.step({ release: { at: 'cabinet', kg: '4.2 kg', halfLife: '60 s' } }, 0)).toBeNull();
    expect(played.until(60 * S).chargeLeftKg()).toBeCloseTo(2.1, 9);
    expect(pictureOf(played.world, ms(60 * S)).releaseGPerS).toBeCloseTo((1000 * 2.1 * Math.LN2) / 60, 9);
    expect(played.until(120 * S).chargeLeftKg()).toBeCloseTo(1.05, 9);
    played.until(3600 * S);
    expect(played.chargeLeftKg()).toBeCloseTo(4.2 * 2 ** -20, 9);
    expect(played.releases()).toEqual([
      [0, expect.closeTo((4.2 * Math.LN2) / 60, 12)],
      [1200 * S, 0],
    ]);
    expect(played.world.atmosphere.releasesAt).toBeNull();
  });

  test('keeps falling through the fan, and loses no gas in it', () => {
    const [still, blown] = [new Played(), new Played()];
    for (const played of [still, blown]) {
      played.step({ release: { at: 'cabinet', kg: '4.2 kg', halfLife: '60 s' } }, 0);
    }
    blown.world.atmosphere.setBlowing(true, ms(0));
    blown.world.atmosphere.setBlowing(false, ms(33_333));
    expect(blown.until(90 * S).chargeLeftKg()).toBeCloseTo(still.until(90 * S).chargeLeftKg(), 12);
  });

  test('through a hole runs steadily while there is liquid, then falls, and ends with vapour left', () => {
    const played = new Played();
    played.step({ release: { at: 'cabinet', hole: '2 mm', pressure: '17 bar', vapourSpace: '10 l' } }, 0);
    played.until(3600 * S);
    const [steady, falls, ends] = played.releases();
    expect(played.releases().length).toBe(3);
    expect(steady?.[1]).toBeCloseTo(0.0119, 4);
    // The steady part ends on a whole ms; its rate is less by that fraction of one.
    expect(Number(falls?.[1]) / Number(steady?.[1])).toBeCloseTo(1, 5);
    const vapourKg = (1.7e6 * 0.01 * 0.052) / (8.314462618 * 298.15);
    expect(Number(falls?.[0]) / S).toBeCloseTo((4.2 - vapourKg) / Number(steady?.[1]), 1);
    expect(ends?.[1]).toBe(0);
    expect(played.chargeLeftKg()).toBeCloseTo((vapourKg * 101_325) / 1.7e6, 5);
    const again = played.step({ release: { at: 'cabinet', hole: '2 mm', pressure: '17 bar' } }, 3600 * S);
    expect(again).toMatch(/^release: what is left of the charge has no pressure any more/u);
  });

  test('is lowered by a pump-down from its moment on, and what is pumped away stays in the circuit', () => {
    const played = new Played();
    const pumpDown = { after: '60 s', leaves: 0.1 };
    played.step({ release: { at: 'cabinet', rate: '10 g/s', lasts: '5 min', pumpDown } }, 0);
    played.until(600 * S);
    expect(played.releases()).toEqual([
      [0, 0.01],
      [60 * S, expect.closeTo(0.001, 15)],
      [300 * S, 0],
    ]);
    expect(played.chargeLeftKg()).toBeCloseTo(4.2 - 0.6 - 0.24, 12);
  });

  test('that a person ends does not go on to its next part', () => {
    const played = new Played();
    played.step({ release: { at: 'cabinet', rate: '10 g/s', pumpDown: { after: '60 s', leaves: 0.1 } } }, 0);
    played.step({ release: 'off' }, 30 * S);
    played.until(600 * S);
    expect(played.releases()).toEqual([
      [0, 0.01],
      [30 * S, 0],
    ]);
  });
});

describe('a room of two layers', () => {
  const leak = { release: { at: 'cabinet', rate: '6 g/s', lasts: '10 min' } };

  test('shows the sensors low and high in it what is there, and one room both the same', () => {
    const [one, two] = [new Played(), new Played(LAYERED)];
    for (const played of [one, two]) {
      played.step(leak, 0);
      played.until(300 * S);
    }
    expect(one.gas('low')).toBe(one.gas('high'));
    expect(two.gas('low')).toBeGreaterThan(5 * two.gas('high'));
    expect(two.gas('low')).toBeGreaterThan(one.gas('low'));
    expect(two.shown('low')).toBeGreaterThan(5 * two.shown('high'));
    const { room } = pictureOf(two.world, ms(300 * S));
    expect(room).toBeCloseTo((12 * two.gas('low') + 48 * two.gas('high')) / 60, 9);
  });

  test('takes a release into the layer of its place', () => {
    const played = new Played(LAYERED);
    played.step({ release: { at: 'room-high', rate: '6 g/s' } }, 0);
    played.until(60 * S);
    expect(played.gas('high')).toBeGreaterThan(5 * played.gas('low'));
    expect(played.gas('low')).toBeGreaterThan(0);
  });

  test('tells gas at the crossings of its levels, layer by layer, to the ms', () => {
    const played = new Played(LAYERED);
    played.step(leak, 0);
    played.until(600 * S);
    for (const id of ['low', 'high']) {
      const told = played.seen.flatMap((one) => (one.kind === 'gas' && one.sensor === id ? [one] : []));
      const rising = told.filter(({ atMs }) => atMs > 0);
      expect(rising.length).toBeGreaterThan(3);
      const index = played.rig.sensors.findIndex((sensor) => sensor.id === id);
      const fresh = new Played(LAYERED);
      fresh.step(leak, 0);
      for (const { atMs, percentLfl } of rising) {
        const level = Math.floor(percentLfl * 2) / 2;
        expect(percentLfl - level).toBeLessThan(0.001);
        expect(fresh.world.atmosphere.trueGas(index, ms(atMs - 1))).toBeLessThan(level);
        expect(fresh.world.atmosphere.trueGas(index, atMs)).toBeGreaterThanOrEqual(level);
      }
    }
  });

  test('keeps a sensor that is mounted elsewhere in the layer that it is in then', () => {
    const played = new Played(LAYERED);
    played.step({ fault: { in: 'low', kind: 'misplaced', at: 'room-high' } }, 0);
    played.step(leak, 0);
    played.until(300 * S);
    expect(played.gas('low')).toBe(played.gas('high'));
  });
});

describe('a sheltered sensor', () => {
  test('has the gas of its place as its truth, and shows it later', () => {
    const played = new Played(LAYERED);
    played.step({ release: { at: 'room-low', rate: '6 g/s' } }, 0);
    played.until(60 * S);
    expect(played.gas('behind')).toBe(played.gas('low'));
    expect(played.shown('behind')).toBeLessThan(0.8 * played.shown('low'));
    expect(played.shown('behind')).toBeGreaterThan(0.2 * played.shown('low'));
  });
});
