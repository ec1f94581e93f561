/**
 * Identification to bytes and back (MB-APP 6.21).
 *
 * An answer has code, interface, read code, level, more follows, next object, number of objects, and then
 * each object: number, length, value.
 */
import { byteAt, isByte, PDU_BYTES_MAX } from './bytes.ts';
import { FUNCTIONS } from './functions.ts';
import {
  type DeviceObject,
  type IdentifyRequest,
  type IdentifyResponse,
  INDIVIDUAL,
  OBJECTS_AT,
  objectBytes,
  type ReadCode,
  SINGLE_ACCESS,
} from './identification.ts';
import type { Mismatch } from './messages.ts';
import { IDENTIFY_BYTES, MEI_TYPE_AT, OBJECT_AT, READ_CODE_AT } from './request-check.ts';

const CONFORMITY_AT = 3;
const MORE_FOLLOWS_AT = 4;
const NEXT_OBJECT_AT = 5;
const COUNT_AT = 6;
/** More follows, or not; no other value is defined. */
const MORE = 0xff;
const NO_MORE = 0x00;

/** Basic, regular, extended. */
const LEVEL_MAX = 3;
const ROW = FUNCTIONS[43];

/** Whether the read code is one of the four is for the check of every request to find. */
export function encodeIdentifyRequest({ readCode, objectId }: IdentifyRequest): Uint8Array {
  if (!isByte(readCode) || !isByte(objectId)) {
    throw new RangeError(`${ROW.name}: read code ${readCode}, object ${objectId}`);
  }
  const pdu = new Uint8Array(IDENTIFY_BYTES);
  pdu[0] = ROW.code;
  pdu[MEI_TYPE_AT] = ROW.meiType;
  pdu[READ_CODE_AT] = readCode;
  pdu[OBJECT_AT] = objectId;
  return pdu;
}

/** The request in a PDU whose structure was found sound. */
export function decodeIdentifyRequest(pdu: Uint8Array): IdentifyRequest {
  const readCode = byteAt(pdu, READ_CODE_AT) as ReadCode;
  return { kind: 'identify', functionCode: ROW.code, readCode, objectId: byteAt(pdu, OBJECT_AT) };
}

/** Throws RangeError on what no answer may carry: no object at all, too many bytes, a level unheard of. */
export function encodeIdentifyResponse(response: IdentifyResponse): Uint8Array {
  const { readCode, conformity, nextObjectId, objects } = response;
  const bytes = objects.reduce((sum, object) => sum + objectBytes(object), OBJECTS_AT);
  const isSound = isPlausible(response) && bytes <= PDU_BYTES_MAX && objects.every(({ id }) => isByte(id));
  if (!isSound || !isByte(nextObjectId ?? 0))
    throw new RangeError(`${ROW.name}: ${bytes} bytes, or no sense`);
  const pdu = new Uint8Array(bytes);
  const more = nextObjectId === null ? NO_MORE : MORE;
  pdu.set([ROW.code, ROW.meiType, readCode, conformity, more, nextObjectId ?? 0, objects.length]);
  let at = OBJECTS_AT;
  for (const object of objects) {
    pdu.set([object.id, object.value.length, ...object.value], at);
    at += objectBytes(object);
  }
  return pdu;
}

/** An answer to this request whose function code was found right, or how it fails to be one. */
export function decodeIdentifyResponse(
  pdu: Uint8Array,
  { readCode, objectId }: IdentifyRequest,
): IdentifyResponse | Mismatch {
  if (pdu.length < OBJECTS_AT) return { kind: 'mismatched', field: 'length' };
  if (pdu[MEI_TYPE_AT] !== ROW.meiType || pdu[READ_CODE_AT] !== readCode) {
    return { kind: 'mismatched', field: 'echo' };
  }
  const objects = objectsIn(pdu);
  if (objects === null) return { kind: 'mismatched', field: 'length' };
  const more = byteAt(pdu, MORE_FOLLOWS_AT);
  const response: IdentifyResponse = {
    kind: 'identify',
    functionCode: ROW.code,
    readCode,
    conformity: byteAt(pdu, CONFORMITY_AT),
    nextObjectId: more === NO_MORE ? null : byteAt(pdu, NEXT_OBJECT_AT),
    objects,
  };
  const isSound = (more === NO_MORE || more === MORE) && isPlausible(response);
  if (!isSound) return { kind: 'mismatched', field: 'identification' };
  const isAnother = readCode === INDIVIDUAL && objects[0]?.id !== objectId;
  return isAnother ? { kind: 'mismatched', field: 'echo' } : response;
}

/** Where the answer ends that begins with these bytes, as far as its objects have come. */
export function identifyResponseBytes(begun: Uint8Array): number {
  let at = OBJECTS_AT;
  for (let left = begun[COUNT_AT] ?? 0; left > 0; left -= 1) at += 2 + (begun[at + 1] ?? 0);
  return at;
}

/** A level that exists; at least one object; and exactly one, the last, where one was asked for. */
function isPlausible({ readCode, conformity, nextObjectId, objects }: IdentifyResponse): boolean {
  const level = conformity & ~SINGLE_ACCESS;
  if (level < 1 || level > LEVEL_MAX || objects.length === 0) return false;
  return readCode !== INDIVIDUAL || (objects.length === 1 && nextObjectId === null);
}

/** The objects, as many as the answer says; null unless they end with its last byte. */
function objectsIn(pdu: Uint8Array): readonly DeviceObject[] | null {
  const objects: DeviceObject[] = [];
  let at = OBJECTS_AT;
  for (let left = byteAt(pdu, COUNT_AT); left > 0; left -= 1) {
    const [id, length] = [pdu[at], pdu[at + 1]];
    if (id === undefined || length === undefined) return null;
    const object = { id, value: Uint8Array.from(pdu.subarray(at + 2, at + 2 + length)) };
    objects.push(object);
    at += 2 + length;
  }
  return at === pdu.length ? objects : null;
}
