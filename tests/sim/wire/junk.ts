/** Frames for a fuzzed wire: sound, mutated, cut, joined and plain noise, drawn from the seed of the run. */
import fc from 'fast-check';
import { type Draw, seededDraw } from '../../../sim/world/random.ts';
import { encodeFrame, encodeRtu, type Framing } from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { nearlySoundPdu } from '../../src/modbus/arbitraries.ts';
import { bytes } from './raw-client.ts';
import { UNIT } from './small-device.ts';

export interface Junk {
  readonly draw: Draw;
  /** The next frame, whatever is left of it. */
  next(): Uint8Array;
}

/** Of the device, to all, to nobody. */
const UNITS = [UNIT, 0, 12];
const NOISE_BYTES_MAX = 300;
/** Drawn with fast-check, which is thorough and slow; then used over and over in ever other frames. */
const SEED = fc.readConfigureGlobal().seed ?? 0;
const PDUS = fc.sample(nearlySoundPdu(), { seed: SEED, numRuns: 2000 });

/** `index` tells apart those that draw from one seed. */
export function junk(framing: Framing['kind'], index: number): Junk {
  const draw = seededDraw(SEED + index);
  const below = (limit: number): number => Math.floor(draw.chance() * limit);
  const sound = (): Uint8Array => {
    const [unit, pdu] = [UNITS[below(UNITS.length)] ?? UNIT, PDUS[below(PDUS.length)] ?? Uint8Array.of(1)];
    return framing === 'mbap' ? encodeFrame(below(0x10000), unitId(unit), pdu) : encodeRtu(unit, pdu);
  };
  const kinds: readonly (readonly [share: number, make: () => Uint8Array])[] = [
    [0.5, sound],
    [0.2, () => mutated(sound())],
    [0.1, () => cut(sound())],
    [0.1, () => bytes(sound(), sound())],
    [0.1, () => Uint8Array.from({ length: 1 + below(NOISE_BYTES_MAX) }, () => below(0x100))],
  ];
  const mutated = (frame: Uint8Array): Uint8Array => frame.with(below(frame.length), below(0x100));
  const cut = (frame: Uint8Array): Uint8Array => {
    const at = below(frame.length);
    return draw.chance() < 0.5 ? frame.subarray(0, at) : frame.subarray(at);
  };
  return {
    draw,
    next() {
      let left = draw.chance();
      for (const [share, make] of kinds) {
        if (left < share) return make();
        left -= share;
      }
      return sound();
    },
  };
}
