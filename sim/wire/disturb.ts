/**
 * An answer on a wire with faults: what becomes of its bytes and their times. One function a fault; where
 * several strike, one works on what the other left.
 */
import { type Disturbed, type Emission, HEADER_BYTES } from '../../src/modbus/index.ts';
import { type FaultOf, WIRE_FAULT_KINDS, type WireFault, type WireFaultKind } from '../faults/index.ts';

/** The answer as its device gave it, and what faults make of it; all drawn and worked out beforehand. */
export interface Disturbable {
  readonly unitId: number;
  /** Empty where the request never reached the device. */
  readonly pdu: Uint8Array;
  /** What another device at the address says; empty where there is none. */
  readonly otherPdu: Uint8Array;
  /** As many bytes as the frame has. */
  readonly noise: Uint8Array;
}

interface Frame extends Disturbable {
  readonly transactionId: number;
}

type Disturb<Kind extends WireFaultKind> = (
  sent: Emission,
  frame: Frame,
  parameters: FaultOf<Kind>['parameters'],
) => Emission;

const EXCEPTION_FLAG = 0x80;
const UNIT_AT = 6;
const UNITS = 247;
const TRANSACTIONS = 0x10000;
/** One register: what a sloppy count of bytes leaves out or adds. */
const SURPLUS_BYTES = 2;
/** The function that a mixed-up device would have heard instead: bits for bits, words for words. */
const MIXED_UP: Readonly<Record<number, number>> = { 1: 2, 2: 1, 3: 4, 4: 3, 5: 6, 6: 5, 15: 16, 16: 15 };

const DISTURB: { readonly [Kind in WireFaultKind]: Disturb<Kind> } = {
  exception: (_, frame, { code }) =>
    reframed(frame, Uint8Array.of(functionOf(frame.pdu) | EXCEPTION_FLAG, code)),
  'wrong-unit': changed((bytes, { unitId }) => bytes.with(UNIT_AT, (unitId % UNITS) + 1)),
  'wrong-transaction': changed((bytes, { transactionId }) => {
    const before = (transactionId + TRANSACTIONS - 1) % TRANSACTIONS;
    return bytes.with(0, before >> 8).with(1, before & 0xff);
  }),
  'wrong-function': changed((bytes, { pdu }) => {
    const code = functionOf(pdu);
    const flag = (pdu[0] ?? 0) & EXCEPTION_FLAG;
    return bytes.with(HEADER_BYTES, (MIXED_UP[code] ?? code ^ 1) | flag);
  }),
  'short-frame': (_, frame) => {
    const { pdu } = frame;
    return reframed(frame, pdu.subarray(0, Math.max(1, pdu.length - SURPLUS_BYTES)));
  },
  'long-frame': (_, frame) => reframed(frame, Uint8Array.of(...frame.pdu, ...new Uint8Array(SURPLUS_BYTES))),
  'same-address': (sent, frame, { heard }) =>
    heard === 'garbled'
      ? reframed(frame, interleaved(frame.pdu, frame.otherPdu))
      : { ...sent, parts: [...sent.parts, ...reframed(frame, frame.otherPdu).parts] },
  garbage: (_, { noise }) => atOnce(noise),
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
  const struck = WIRE_FAULT_KINDS.flatMap((kind) => faults.filter((fault) => fault.kind === kind));
  return {
    emission(transactionId) {
      const frame = { ...answer, transactionId };
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

/** A fault that changes bytes of the frame where they stand. */
function changed(change: (bytes: Uint8Array, frame: Frame) => Uint8Array) {
  return (sent: Emission, frame: Frame): Emission => ({
    ...sent,
    parts: sent.parts.map(({ afterMs, bytes }) => ({ afterMs, bytes: change(bytes, frame) })),
  });
}

/** A frame whose header is sound, whatever its PDU: here it may be longer than any frame may be. */
function reframed({ transactionId, unitId }: Frame, pdu: Uint8Array): Emission {
  const length = 1 + pdu.length;
  const header = [transactionId >> 8, transactionId & 0xff, 0, 0, length >> 8, length & 0xff, unitId];
  return atOnce(Uint8Array.of(...header, ...pdu));
}

function atOnce(bytes: Uint8Array): Emission {
  return { parts: [{ afterMs: 0, bytes }], hangsUp: false };
}

function functionOf(pdu: Uint8Array): number {
  return (pdu[0] ?? 0) & ~EXCEPTION_FLAG;
}

/** Byte by byte the one and the other. */
function interleaved(one: Uint8Array, other: Uint8Array): Uint8Array {
  const bytes = Array.from({ length: Math.max(one.length, other.length) }, (_, at) => [one[at], other[at]]);
  return Uint8Array.from(bytes.flat().filter((byte) => byte !== undefined));
}
