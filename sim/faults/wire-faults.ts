/**
 * Faults of the wire to one device: the device has answered, and this is what becomes of its answer. Other
 * devices of the line have none of it. Where several strike one answer they do so in the order of the rows.
 *
 * A wrong checksum is a fault of RTU frames, a wrong transaction number one of Modbus TCP; the other kind of
 * frame has none and stays sound.
 */
import { z } from 'zod';
import { quantity } from '../../src/files/index.ts';
import { row, told, toldTime } from './row.ts';

/** The codes that MB-APP section 7 lists, and those between them. */
const AN_EXCEPTION_CODE = 'a whole number, 1 to 11';
const EXCEPTION_CODE = `takes ${AN_EXCEPTION_CODE}`;
/** Our choice: often enough to be seen within a minute, too seldom to be taken for silence. */
const LOST_SHARE = 0.1;
/** The longest answer of the reference profile, 47 bytes, still comes within 100 ms. */
const BYTE_EVERY = '2 ms';

const HEARD = 'garbled (one into the other) or both (one after the other)';

export const WIRE_FAULTS = {
  exception: onWire('its answers are replaced by an exception', {
    code: told(
      z
        .int({ error: EXCEPTION_CODE })
        .min(1, { error: EXCEPTION_CODE })
        .max(11, { error: EXCEPTION_CODE })
        .default(4),
      AN_EXCEPTION_CODE,
      4,
    ),
  }),
  'wrong-unit': onWire('its answers name another unit', {}),
  'wrong-transaction': onWire('its answers name the request before (Modbus TCP)', {}),
  'wrong-function': onWire('its answers name another function', {}),
  'short-frame': onWire('its answers lack their last bytes', {}),
  'long-frame': onWire('its answers have bytes too many', {}),
  'bad-crc': onWire('the checksum of its answers is wrong (RTU)', {}),
  'same-address': onWire('another device answers at its address too', {
    heard: told(
      z.enum(['garbled', 'both'], { error: `takes ${HEARD}` }).default('garbled'),
      HEARD,
      'garbled',
    ),
  }),
  garbage: onWire('noise comes in place of its answers', {}),
  'drop-connection': onWire('the connection is cut in the middle of its answers', {}),
  dribble: onWire('its answers come byte by byte', {
    every: toldTime(
      quantity('time').prefault(BYTE_EVERY),
      'a time from byte to byte, such as 2 ms',
      BYTE_EVERY,
    ),
  }),
  late: onWire('its answers come late', {
    by: toldTime(quantity('time'), 'a time, such as 500 ms', '500 ms'),
  }),
  lossy: onWire('a share of its answers is lost', {}, LOST_SHARE),
  refuse: onWire('the connection is closed at once when it is asked: the request does not reach it', {}),
} as const;

export type WireFaultKind = keyof typeof WIRE_FAULTS;
export const WIRE_FAULT_KINDS = Object.keys(WIRE_FAULTS) as WireFaultKind[];

function onWire<Shape extends z.ZodRawShape>(meaning: string, shape: Shape, usually = 1) {
  return row(['sensor', 'fieldIo'], 'each request', meaning, shape, usually);
}
