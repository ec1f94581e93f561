/**
 * What a device says it is: objects with a number and a text, read one by one or as a stream (MB-APP 6.21).
 *
 * Objects come in three levels, by their number: basic 00 to 02, regular to 7F, private from 80 on. A stream
 * of a level holds all objects up to it. What does not fit into one answer follows in the next: an answer
 * names the object to go on from, and no object is cut in two.
 */
import { isByte, PDU_BYTES_MAX } from './bytes.ts';
import { EXCEPTIONS, type ExceptionCode } from './exceptions.ts';
import { FUNCTIONS, type RowOf } from './functions.ts';

/** Streams of basic, regular and extended identification, or one object. */
export type ReadCode = 1 | 2 | 3 | 4;

/** Asks for the first part of a stream, for a later one, or for one object. */
export interface IdentifyRequest {
  readonly kind: 'identify';
  readonly functionCode: RowOf<'identify'>['code'];
  readonly readCode: ReadCode;
  /** Where the stream is to begin, or the one object. */
  readonly objectId: number;
}

/** As many whole objects as fit; the read code is that of the request, whatever level was answered. */
export interface IdentifyResponse {
  readonly kind: 'identify';
  readonly functionCode: RowOf<'identify'>['code'];
  readonly readCode: ReadCode;
  /** The highest level that the device has; 80 is added where single objects can be read. */
  readonly conformity: number;
  /** Where to go on; null when nothing follows. */
  readonly nextObjectId: number | null;
  readonly objects: readonly DeviceObject[];
}

/** A text in ASCII, or what a maker likes in a private object: bytes, so that nothing is lost. */
export interface DeviceObject {
  readonly id: number;
  readonly value: Uint8Array;
}

/** Every object of a device, in the order of their numbers. */
export type Identification = readonly DeviceObject[];

/** The objects that the standard names; 07 to 7F are reserved. */
const OBJECTS = {
  vendorName: 0x00,
  productCode: 0x01,
  revision: 0x02,
  vendorUrl: 0x03,
  productName: 0x04,
  modelName: 0x05,
  userApplicationName: 0x06,
} as const;

type ObjectName = keyof typeof OBJECTS;
type BasicName = 'vendorName' | 'productCode' | 'revision';

/** The basic three are mandatory. */
export type ObjectTexts = Readonly<Record<BasicName, string> & Partial<Record<ObjectName, string>>>;

export const INDIVIDUAL: ReadCode = 4;

/** What a number tells of its object's level. */
const BASIC_LAST = 0x02;
const PRIVATE_FIRST = 0x80;
/** Added to a conformity level: single objects can be read as well as streams. */
export const SINGLE_ACCESS = 0x80;

/** Where an answer's objects begin. */
export const OBJECTS_AT = 7;
/** Number and length, before each object's text. */
const OBJECT_HEAD_BYTES = 2;
const VALUE_BYTES_MAX = PDU_BYTES_MAX - OBJECTS_AT - OBJECT_HEAD_BYTES;

/**
 * A device's objects from texts; `own` are private ones, by number. Texts may come from a user's file while
 * the wire takes ASCII only: any other character goes out as "?", and what one answer cannot hold is cut off.
 */
export function identificationOf(
  texts: ObjectTexts,
  own: Readonly<Record<number, string>> = {},
): Identification {
  const objects: DeviceObject[] = Object.entries(OBJECTS).flatMap(([name, id]) => {
    const text = texts[name as ObjectName];
    return text === undefined ? [] : [{ id, value: asciiOf(text) }];
  });
  // An object's whole-number keys come in rising order, whatever order they were written in.
  for (const [key, text] of Object.entries(own)) {
    const id = Number(key);
    if (!isByte(id) || id < PRIVATE_FIRST) throw new RangeError(`private object ${key}`);
    objects.push({ id, value: asciiOf(text) });
  }
  return objects;
}

/** The answer to a sound request: objects, or the exception for one that the device does not have. */
export function identify(
  identification: Identification,
  request: Pick<IdentifyRequest, 'readCode' | 'objectId'>,
): IdentifyResponse | ExceptionCode {
  const { readCode, objectId } = request;
  const common = { kind: 'identify', functionCode: FUNCTIONS[43].code, readCode } as const;
  const conformity = Math.max(...identification.map(({ id }) => levelOf(id))) | SINGLE_ACCESS;
  if (readCode === INDIVIDUAL) {
    const objects = identification.filter(({ id }) => id === objectId);
    if (objects.length === 0) return EXCEPTIONS.illegalDataAddress.code;
    return { ...common, conformity, nextObjectId: null, objects };
  }
  // A level above the device's own gets what there is; a stream with an unknown object begins anew.
  const stream = identification.filter(({ id }) => levelOf(id) <= readCode);
  const from = Math.max(
    0,
    stream.findIndex(({ id }) => id === objectId),
  );
  const objects = thoseThatFit(stream.slice(from));
  return { ...common, conformity, nextObjectId: stream[from + objects.length]?.id ?? null, objects };
}

/** Bytes that an object takes in an answer: its number, its length, and what it says. */
export function objectBytes({ value }: DeviceObject): number {
  return OBJECT_HEAD_BYTES + value.length;
}

/** Reserved numbers count as regular, where a standard to come would put them. */
function levelOf(id: number): number {
  if (id >= PRIVATE_FIRST) return 3;
  return id <= BASIC_LAST ? 1 : 2;
}

/** Always one at least: no object is longer than an answer's room. */
function thoseThatFit(objects: readonly DeviceObject[]): readonly DeviceObject[] {
  let end = OBJECTS_AT;
  const tooMany = objects.findIndex((object) => {
    end += objectBytes(object);
    return end > PDU_BYTES_MAX;
  });
  return tooMany === -1 ? objects : objects.slice(0, tooMany);
}

/** By whole characters, so that one outside ASCII becomes one "?" however many units it has in memory. */
function asciiOf(text: string): Uint8Array {
  const ascii = text.replace(/[^ -~]/gu, '?');
  return Uint8Array.from(ascii.slice(0, VALUE_BYTES_MAX), (letter) => letter.charCodeAt(0));
}
