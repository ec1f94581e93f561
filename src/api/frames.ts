/**
 * Events as bytes for the network: a text frame of RFC 6455 each, one behind the other.
 *
 * A server's frames carry no mask, so they are the same for every client: events are written out once, and a
 * thousand clients wait for the same bytes.
 */
import type { CloudEvent } from '../events/index.ts';

export interface Frames {
  /** Sequence of the last event. */
  readonly last: number;
  readonly bytes: number;
  /** The frames of all events after a sequence; null where there are none. */
  after(sequence: number): Buffer | null;
}

/** The last frame of a message, and the message is text (RFC 6455 section 5.2). */
const FINAL_TEXT = 0x81;
/** Lengths from here on stand in two bytes more, and in eight. */
const LENGTH_16 = 126;
const LENGTH_64 = 127;
const LENGTH_16_MAX = 0xffff;

/** Events of one run, in order and at least one; their sequence has no gap. */
export function framesOf(events: readonly CloudEvent[]): Frames {
  const frames = events.map((event) => frameOf(JSON.stringify(event)));
  const bytes = Buffer.concat(frames);
  const first = events[0]?.sequence ?? 0;
  const starts: number[] = [];
  let start = 0;
  for (const frame of frames) {
    starts.push(start);
    start += frame.length;
  }
  return {
    last: events.at(-1)?.sequence ?? 0,
    bytes: bytes.length,
    after(sequence) {
      const skipped = Math.max(0, sequence + 1 - first);
      const from = starts[skipped];
      return from === undefined ? null : bytes.subarray(from);
    },
  };
}

function frameOf(text: string): Buffer {
  const length = Buffer.byteLength(text);
  const head = headOf(length);
  const frame = Buffer.allocUnsafe(head.length + length);
  head.copy(frame);
  frame.write(text, head.length);
  return frame;
}

function headOf(length: number): Buffer {
  if (length < LENGTH_16) return Buffer.from([FINAL_TEXT, length]);
  const isLong = length > LENGTH_16_MAX;
  const head = Buffer.alloc(isLong ? 10 : 4);
  head[0] = FINAL_TEXT;
  head[1] = isLong ? LENGTH_64 : LENGTH_16;
  if (isLong) head.writeBigUInt64BE(BigInt(length), 2);
  else head.writeUInt16BE(length, 2);
  return head;
}
