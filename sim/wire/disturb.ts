/**
 * An answer on a wire with faults: what becomes of its bytes and their times. One function a fault; where
 * several strike, one works on what the other left. A fault of one kind of frame leaves the other kind sound:
 * RTU has no transaction number, Modbus TCP no checksum.
 */
import {
  atOnce,
  CRC_BYTES,
  type Disturbed,
  type Emission,
  EXCEPTION_FLAG,
  encodeRtu,
  type Framing,
  UNIT_MAX,
} from '../../src/modbus/index.ts';
import { type FaultOf, WIRE_FAULT_KINDS, type WireFault, type WireFaultKind } from '../faults/index.ts';

/** The answer as its device gave it, and what faults make of it; all drawn and worked out beforehand. */
export interface Disturbable {
  readonly unitId: number;
  /** Empty where the request never reached the device. */
  readonly pdu: Uint8Array;
  /** What another device at the address says; empty where there is none. */
  readonly otherPdu: Uint8Array;
  /** As many bytes as the longest frame around the pdu has. */
  readonly noise: Uint8Array;
}

interface Frame extends Disturbable {
  readonly framing: Framing;
}

type Disturb<Kind extends WireFaultKind> = (
  sent: Emission,
  frame: Frame,
  parameters: FaultOf<Kind>['parameters'],
) => Emission;

/** Where unit and function stand in a frame. */
const UNIT_AT = { mbap: 6, rtu: 0 } as const;
const TRANSACTIONS = 0x10000;
/** One register: what a sloppy count of bytes leaves out or adds. */
const SURPLUS_BYTES = 2;
/** The function that a mixed-up device would have heard instead: bits for bits, words for words. */
const MIXED_UP: Readonly<Record<number, number>> = { 1: 2, 2: 1, 3: 4, 4: 3, 5: 6, 6: 5, 15: 16, 16: 15 };

const DISTURB: { readonly [Kind in WireFaultKind]: Disturb<Kind> } = {
  exception: (_, frame, { code }) =>
    reframed(frame, Uint8Array.of(functionOf(frame.pdu) | EXCEPTION_FLAG, code)),
  'wrong-unit': changed((bytes, { unitId, framing }) =>
    bytes.with(UNIT_AT[framing.kind], (unitId % UNIT_MAX) + 1),
  ),
  'wrong-transaction': changed((bytes, { framing }) => {
    if (framing.kind === 'rtu') return bytes;
    const before = (framing.transactionId + TRANSACTIONS - 1) % TRANSACTIONS;
    return bytes.with(0, before >> 8).with(1, before & 0xff);
  }),
  'wrong-function': changed((bytes, { pdu, framing }) => {
    const code = functionOf(pdu);
    const flag = (pdu[0] ?? 0) & EXCEPTION_FLAG;
    return bytes.with(UNIT_AT[framing.kind] + 1, (MIXED_UP[code] ?? code ^ 1) | flag);
  }),
  'short-frame': (_, frame) => {
    const { pdu } = frame;
    return reframed(frame, pdu.subarray(0, Math.max(1, pdu.length - SURPLUS_BYTES)));
  },
  'long-frame': (_, frame) => reframed(frame, Uint8Array.of(...frame.pdu, ...new Uint8Array(SURPLUS_BYTES))),
  'bad-crc': (sent, { framing }) => ({
    ...sent,
    parts: framing.kind === 'mbap' ? sent.parts : sent.parts.map(withBadChecksum),
  }),
  'same-address': (sent, frame, { heard }) => (heard === 'garbled' ? garbled(frame) : both(sent, frame)),
  garbage: (_, frame) => atOnce(frame.noise.subarray(0, framed(frame, frame.pdu).length)),
  'drop-connection': ({ parts }) => ({
    parts: parts.map(({ afterMs, bytes }) => ({ afterMs, bytes: bytes.subarray(0, bytes.length >> 1) })),
    hangsUp: true,
  }),
  dribble: (sent, _, { every }) => {
    const bytes = sent.parts.flatMap((part) => [...part.bytes]);
    const parts = bytes.map((byte, at) => ({ afterMs: Math.round(at * every), bytes: Uint8Array.of(byte) }));
    return { ...sent, parts };
  },
  late: (sent, _, { by }) => ({
    ...sent,
    parts: sent.parts.map(({ afterMs, bytes }) => ({ afterMs: afterMs + Math.round(by), bytes })),
  }),
  lossy: (sent) => ({ ...sent, parts: [] }),
  refuse: () => ({ parts: [], hangsUp: true }),
};

/** The faults strike in the order of the table, whatever order they are given in. */
export function disturbed(faults: readonly WireFault[], answer: Disturbable): Disturbed {
  // A request that was refused has no answer that the others could strike.
  const refused = faults.filter(({ kind }) => kind === 'refuse');
  const striking = refused.length > 0 ? refused : faults;
  const struck = WIRE_FAULT_KINDS.flatMap((kind) => striking.filter((fault) => fault.kind === kind));
  return {
    emission(framing) {
      const frame = { ...answer, framing };
      let sent = reframed(frame, answer.pdu);
      for (const fault of struck) sent = strike(sent, frame, fault);
      return sent;
    },
  };
}

/** The table's row fits the fault's own kind; the compiler cannot follow the two through a lookup. */
function strike(sent: Emission, frame: Frame, { kind, parameters }: WireFault): Emission {
  const disturb = DISTURB[kind] as (sent: Emission, frame: Frame, parameters: unknown) => Emission;
  return disturb(sent, frame, parameters);
}

/** A fault that changes bytes of the frame where they stand; the checksum, where there is one, fits them. */
function changed(change: (bytes: Uint8Array, frame: Frame) => Uint8Array) {
  return (sent: Emission, frame: Frame): Emission => ({
    ...sent,
    parts: sent.parts.map(({ afterMs, bytes }) => {
      const now = change(bytes, frame);
      const sealed = frame.framing.kind === 'mbap' ? now : encodeRtu(now[0] ?? 0, now.slice(1, -CRC_BYTES));
      return { afterMs, bytes: sealed };
    }),
  });
}

/** A frame whose header, or checksum, is sound, whatever its PDU: here it may be longer than any may be. */
function framed({ framing, unitId }: Frame, pdu: Uint8Array): Uint8Array {
  if (framing.kind === 'rtu') return encodeRtu(unitId, pdu);
  const { transactionId } = framing;
  const length = 1 + pdu.length;
  const header = [transactionId >> 8, transactionId & 0xff, 0, 0, length >> 8, length & 0xff, unitId];
  return Uint8Array.of(...header, ...pdu);
}

function reframed(frame: Frame, pdu: Uint8Array): Emission {
  return atOnce(framed(frame, pdu));
}

function withBadChecksum({ afterMs, bytes }: Emission['parts'][number]): Emission['parts'][number] {
  return { afterMs, bytes: bytes.with(bytes.length - 1, (bytes.at(-1) ?? 0) ^ 0xff) };
}

/** Two talk at once: over TCP something of both comes out, on a serial line a checksum that fits neither. */
function garbled(frame: Frame): Emission {
  const mixed = reframed(frame, interleaved(frame.pdu, frame.otherPdu));
  return frame.framing.kind === 'mbap' ? mixed : { ...mixed, parts: mixed.parts.map(withBadChecksum) };
}

/** The other answers as soon as it may: on a serial line after the silence that parts two frames. */
function both(sent: Emission, frame: Frame): Emission {
  const laterMs = frame.framing.kind === 'rtu' ? frame.framing.silenceMs : 0;
  return { ...sent, parts: [...sent.parts, { afterMs: laterMs, bytes: framed(frame, frame.otherPdu) }] };
}

function functionOf(pdu: Uint8Array): number {
  return (pdu[0] ?? 0) & ~EXCEPTION_FLAG;
}

/** Byte by byte the one and the other. */
function interleaved(one: Uint8Array, other: Uint8Array): Uint8Array {
  const bytes = Array.from({ length: Math.max(one.length, other.length) }, (_, at) => [one[at], other[at]]);
  return Uint8Array.from(bytes.flat().filter((byte) => byte !== undefined));
}
