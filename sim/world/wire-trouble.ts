/**
 * The wire at work between a device and whoever asks: which faults strike the answer to a request, what a
 * gateway makes of it, and what of it can still be heard. The device has answered by then, so a write has
 * been carried out whatever becomes of its answer.
 */
import {
  ANY_FRAMING,
  type Disturbed,
  decodeRequest,
  EXCEPTION_FLAG,
  type Framing,
  HEADER_BYTES,
  receive,
  type WireAnswer,
} from '../../src/modbus/index.ts';
import type { Pace, Rig } from '../../src/rig/index.ts';
import { type Ms, ms } from '../../src/units/index.ts';
import { type Fault, isWireFault, type WireFault } from '../faults/index.ts';
import { disturbed } from '../wire/disturb.ts';
import { hasNoPath, noPath, throughGateway } from '../wire/gateway.ts';
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
  /** What another device of the rig at the same address said; undefined where there is none. */
  readonly otherReply: Uint8Array | undefined;
  /** In what frames the request came. */
  readonly framing: Framing['kind'];
}

const NONE: readonly WireFault[] = [];
const BYTE = 0x100;
/** Where the PDU begins in a frame. */
const PDU_AT = { mbap: HEADER_BYTES, rtu: 1 } as const satisfies Readonly<Record<Framing['kind'], number>>;
/** Faults of the connection to a gateway; all others strike on the serial line behind it. */
const BEFORE_GATEWAY: ReadonlySet<string> = new Set(['wrong-transaction', 'drop-connection', 'refuse']);

/** Two that answer at once are heard as the fault that plays it would have it. */
export const TWO_TALK: WireFault = {
  kind: 'same-address',
  parameters: { heard: 'garbled' },
  probability: 1,
};

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
  const { reply } = exchange;
  const refused = faults.some(({ kind }) => kind === 'refuse');
  // A device that says nothing has no answer that a wire could spoil.
  if (reply === undefined && !refused) return undefined;
  const sent = spoiled(world, faults, exchange);
  tellSent(world, sent, exchange, true);
  tellHeard(world, sent, exchange);
  return sent;
}

/** The same where the request goes through a gateway, which takes time and answers for silent devices. */
export function viaGateway(
  world: Surroundings,
  faults: readonly WireFault[],
  exchange: Exchange,
  pace: Pace,
): WireAnswer {
  const { unitId, pdu, reply } = exchange;
  if (hasNoPath(unitId)) return noPath(pdu);
  const onSerial = faults.filter(({ kind }) => !BEFORE_GATEWAY.has(kind));
  const onTcp = faults.filter(({ kind }) => BEFORE_GATEWAY.has(kind));
  const answered = onSerial.length > 0 && reply !== undefined ? spoiled(world, onSerial, exchange) : reply;
  const { pdu: passed, afterMs } = throughGateway(unitId, pdu, answered, pace);
  const told = spoiled(world, onTcp, { ...exchange, reply: passed });
  const sent: Disturbed = {
    emission(framing) {
      const { parts, hangsUp } = told.emission(framing);
      const later = parts.map((part) => ({ ...part, afterMs: Math.round(part.afterMs + afterMs) }));
      return { parts: later, hangsUp };
    },
  };
  tellSent(world, sent, exchange, faults.length > 0);
  tellHeard(world, sent, exchange);
  return sent;
}

function spoiled(world: Surroundings, faults: readonly WireFault[], exchange: Exchange): Disturbed {
  const { unitId, pdu, reply } = exchange;
  return disturbed(faults, {
    unitId,
    pdu: reply ?? new Uint8Array(0),
    otherPdu: faults.some(({ kind }) => kind === 'same-address') ? otherReply(world, exchange) : pdu,
    noise: faults.some(({ kind }) => kind === 'garbage') ? noise(world, reply) : new Uint8Array(0),
  });
}

function tellSent(world: Surroundings, sent: Disturbed, exchange: Exchange, struck: boolean): void {
  const { line, unitId, pdu, reply = null, framing } = exchange;
  const { parts } = sent.emission(ANY_FRAMING[framing]);
  const last = parts.at(-1);
  const [code = 0, told = 0] = parts.flatMap(({ bytes }) => [...bytes]).slice(PDU_AT[framing]);
  const exception = code === ((pdu[0] ?? 0) | EXCEPTION_FLAG) ? told : null;
  const sentAtMs = last === undefined ? null : ms(world.nowMs + last.afterMs);
  world.tell({ kind: 'sent', atMs: world.nowMs, line, unitId, sentAtMs, exception, reply, struck });
}

function tellHeard(world: Surroundings, sent: Disturbed, { line, unitId, pdu, framing }: Exchange): void {
  const request = decodeRequest(pdu);
  if (request.kind === 'exception') return;
  const timeoutMs = world.rig.lines.find(({ id }) => id === line)?.timeoutMs ?? 0;
  const asked = { framing: ANY_FRAMING[framing], unitId, request, timeoutMs };
  const received = receive(sent.emission(asked.framing), asked);
  if (received.kind !== 'answered') return;
  const heardAtMs = ms(world.nowMs + received.afterMs);
  world.tell({ kind: 'answered', atMs: world.nowMs, heardAtMs, line, unitId, pdu: received.pdu });
}

function unitAt(world: Surroundings, line: string, unitId: number): Original | undefined {
  return world.units.find(({ device }) => device.plan.line === line && device.address === unitId);
}

function otherReply(world: Surroundings, { line, unitId, pdu, otherReply: said }: Exchange): Uint8Array {
  if (said !== undefined) return said;
  const unit = unitAt(world, line, unitId);
  return unit === undefined
    ? twinOfFieldIo(world.rig, pdu, world.nowMs)
    : twinOfSensor(unit, pdu, world.nowMs);
}

function noise({ draw }: Surroundings, reply: Uint8Array | undefined): Uint8Array {
  const length = HEADER_BYTES + (reply?.length ?? 0);
  return Uint8Array.from({ length }, () => Math.floor(draw.chance() * BYTE));
}
