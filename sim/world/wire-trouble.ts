/**
 * Faults of the wire at work: which of them strike the answer to a request, and what of it can still be
 * heard. The device has answered by then, so a write has been carried out whatever becomes of its answer.
 */
import { decodeRequest, HEADER_BYTES, receive, type WireAnswer } from '../../src/modbus/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import { type Ms, ms } from '../../src/units/index.ts';
import { type Fault, isWireFault, type WireFault } from '../faults/index.ts';
import { disturbed } from '../wire/disturb.ts';
import type { Observe } from './observation.ts';
import { type Draw, strikes } from './random.ts';
import { type Original, twinOfFieldIo, twinOfSensor } from './twin.ts';

/** Of the world, as much as the wire needs. */
interface Surroundings {
  readonly rig: Rig;
  readonly nowMs: Ms;
  readonly draw: Draw;
  readonly units: readonly Original[];
  readonly faults: ReadonlyMap<string, readonly Fault[]>;
  readonly tell: Observe;
}

interface Exchange {
  readonly line: string;
  readonly unitId: number;
  /** The request. */
  readonly pdu: Uint8Array;
  /** What the device said; undefined where it said nothing, or never heard the request. */
  readonly reply: Uint8Array | undefined;
}

const NONE: readonly WireFault[] = [];
const BYTE = 0x100;
/** Whoever listens uses a number of its own: any will do to see what can be heard. */
const TRANSACTION = 1;

/** Drawn anew at each request. */
export function wireFaultsStriking(world: Surroundings, line: string, unitId: number): readonly WireFault[] {
  if (world.faults.size === 0) return NONE;
  const { fieldIo } = world.rig;
  const isFieldIo = line === fieldIo.line && unitId === fieldIo.unitId;
  const subject = isFieldIo ? 'fieldIo' : unitAt(world, line, unitId)?.device.plan.id;
  const faults = subject === undefined ? undefined : world.faults.get(subject);
  if (faults === undefined) return NONE;
  return faults.filter(isWireFault).filter((fault) => strikes(fault, world.draw));
}

/** What goes out in place of the reply; tells what a careful client hears of it. */
export function disturb(world: Surroundings, faults: readonly WireFault[], exchange: Exchange): WireAnswer {
  const { line, unitId, pdu, reply } = exchange;
  const refused = faults.some(({ kind }) => kind === 'refuse');
  // A device that says nothing has no answer that a wire could spoil.
  if (reply === undefined && !refused) return undefined;
  const sent = disturbed(faults, {
    unitId,
    pdu: reply ?? new Uint8Array(0),
    otherPdu: faults.some(({ kind }) => kind === 'same-address') ? otherReply(world, exchange) : pdu,
    noise: faults.some(({ kind }) => kind === 'garbage') ? noise(world, reply) : new Uint8Array(0),
  });
  const request = decodeRequest(pdu);
  if (request.kind === 'exception') return sent;
  const received = receive(sent.emission(TRANSACTION), { transactionId: TRANSACTION, unitId, request });
  const timeoutMs = world.rig.lines.find(({ id }) => id === line)?.timeoutMs ?? 0;
  if (received.kind === 'answered' && received.afterMs <= timeoutMs) {
    const atMs = world.nowMs;
    const heardAtMs = ms(atMs + received.afterMs);
    world.tell({ kind: 'answered', atMs, heardAtMs, line, unitId, pdu: received.pdu });
  }
  return sent;
}

function unitAt(world: Surroundings, line: string, unitId: number): Original | undefined {
  return world.units.find(({ device }) => device.plan.line === line && device.address === unitId);
}

function otherReply(world: Surroundings, { line, unitId, pdu }: Exchange): Uint8Array {
  const unit = unitAt(world, line, unitId);
  return unit === undefined
    ? twinOfFieldIo(world.rig, pdu, world.nowMs)
    : twinOfSensor(unit, pdu, world.nowMs);
}

function noise({ draw }: Surroundings, reply: Uint8Array | undefined): Uint8Array {
  const length = HEADER_BYTES + (reply?.length ?? 0);
  return Uint8Array.from({ length }, () => Math.floor(draw.chance() * BYTE));
}
