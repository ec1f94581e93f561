/** Looking at one address: whether somebody is there, and who. Only reads, whatever is found. */

import type { Request } from '../modbus/index.ts';
import { COMPRESSOR_COIL_FIRST, RUNNING_INPUT_FIRST } from '../rig/index.ts';
import type { SensorCodec } from '../sensor/index.ts';
import type { UnitId } from '../units/index.ts';
import { type Asking, askSteadily, type Steady } from './asking.ts';
import { bestOf, type Fit, fitElsewhere, type Tried, tryProfile } from './fit.ts';
import { type Identity, readIdentity } from './identity.ts';
import { isPrintable } from './plausible.ts';
import type { Spot } from './spot.ts';

export type Seen = Spot & { readonly found: Found };

export type Found =
  | { readonly kind: 'silent' }
  | { readonly kind: 'noPath' }
  /** Again and again no answer to what was asked; or, in turn, the answers of two. */
  | { readonly kind: 'garbled'; readonly how: string }
  | Present;

export interface Present {
  readonly kind: 'present';
  /** null where it does not speak that function. */
  readonly identity: Identity | null;
  /** null for the field I/O, where coils and inputs answer as planned. */
  readonly fit: Fit | null;
  /** As the profile's point says it; empty where it has none. */
  readonly serial: string;
}

/** Any answer to it tells that somebody is there, an exception too. */
export const PROBE: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 1 };

export function* lookAt(spot: Spot, known: readonly SensorCodec[]): Asking<Seen> {
  return { ...spot, found: yield* foundAt(spot, known) };
}

function* foundAt({ unitId, planned }: Spot, known: readonly SensorCodec[]): Asking<Found> {
  switch (planned.kind) {
    case 'sensors':
      return yield* findSensor(unitId, planned.sensors[0].codec, known);
    case 'fieldIo':
      return yield* findFieldIo(unitId, planned.circuits);
    case 'nobody':
      return yield* findAnybody(unitId, known);
  }
}

/** Somebody who should have this profile. */
export function* findSensor(
  unitId: UnitId,
  codec: SensorCodec,
  known: readonly SensorCodec[],
): Asking<Found> {
  const tried = yield* tryProfile(unitId, codec);
  const nobody = nobodyOf(tried.read);
  if (nobody !== null) return nobody;
  if (!tried.likeness.plausible) {
    const fit = yield* fitElsewhere(unitId, codec, tried, known);
    return { kind: 'present', identity: yield* readIdentity(unitId), fit, serial: serialOf(fit) };
  }
  const again = yield* otherSerial(unitId, codec, tried);
  if (again !== null) return again;
  const fit: Fit = { kind: 'profile', codec, answer: tried.answer };
  return { kind: 'present', identity: yield* readIdentity(unitId), fit, serial: serialOf(fit) };
}

/** Two that take turns in being heard first are each sound by themselves: a second serial gives them away. */
function* otherSerial(unitId: UnitId, codec: SensorCodec, first: Tried): Asking<Found | null> {
  if (codec.profile.points.serial === undefined) return null;
  const second = yield* tryProfile(unitId, codec);
  const [one, other] = [first.answer.serial ?? '', second.answer.serial ?? ''];
  if (second.read.kind === 'garbled') return { kind: 'garbled', how: second.read.field };
  if (!second.likeness.plausible || one === other) return null;
  return { kind: 'garbled', how: `serial ${one}, then serial ${other}` };
}

function* findAnybody(unitId: UnitId, known: readonly SensorCodec[]): Asking<Found> {
  const probe = yield* askSteadily(unitId, PROBE, true);
  const nobody = nobodyOf(probe);
  if (nobody !== null) return nobody;
  const identity = yield* readIdentity(unitId);
  const fit = (yield* bestOf(unitId, known)) ?? NO_FIT;
  return { kind: 'present', identity, fit, serial: serialOf(fit) };
}

const NO_FIT: Fit = { kind: 'none', because: 'no profile that is known fits its registers' };

/** Its commands and its inputs, as far as the rig uses them. */
function* findFieldIo(unitId: UnitId, circuits: number): Asking<Found> {
  const runs = [
    { what: 'command coils', functionCode: 1, quantity: COMPRESSOR_COIL_FIRST + circuits },
    { what: 'inputs', functionCode: 2, quantity: RUNNING_INPUT_FIRST + circuits },
  ] as const;
  let fit: Fit | null = null;
  for (const { what, functionCode, quantity } of runs) {
    const request: Request = { kind: 'read', functionCode, address: 0, quantity };
    const steady = yield* askSteadily(unitId, request, true);
    const nobody = nobodyOf(steady);
    if (nobody !== null) return nobody;
    if (steady.kind === 'refused') {
      const exception = String(steady.exception).padStart(2, '0');
      fit ??= { kind: 'none', because: `it has no ${quantity} ${what} (exception ${exception})` };
    }
  }
  return { kind: 'present', identity: yield* readIdentity(unitId), fit, serial: '' };
}

function nobodyOf(steady: { readonly kind: string } & (Steady | Tried['read'])): Found | null {
  switch (steady.kind) {
    case 'silent':
    case 'noPath':
      return steady;
    case 'garbled':
      return { kind: 'garbled', how: steady.field };
    case 'answered':
    case 'refused':
    case 'read':
      return null;
  }
}

function serialOf(fit: Fit): string {
  const serial = fit.kind === 'none' ? undefined : fit.answer.serial;
  return serial !== undefined && isPrintable(serial) ? serial : '';
}
