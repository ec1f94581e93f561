/**
 * What is said over Modbus, as values: the requests that a client makes and the responses of a server.
 *
 * Addresses are PDU addresses, from 0. Values are 0 or 1 for bits, 0 to 65535 for registers.
 */
import type { ExceptionCode } from './exceptions.ts';
import type { RowOf } from './functions.ts';
import type { IdentifyRequest, IdentifyResponse } from './identification.ts';

/** A sound request: what `decodeRequest` made of a client's bytes, or what we are about to send. */
export type Request = TableRequest | MaskWrite | ReadWriteRequest | IdentifyRequest;

/** Reads one table or writes one: all that a poll needs. */
export type TableRequest =
  | {
      readonly kind: 'read';
      readonly functionCode: RowOf<'read'>['code'];
      readonly address: number;
      readonly quantity: number;
    }
  | WriteOne
  | {
      readonly kind: 'writeMany';
      readonly functionCode: RowOf<'writeMany'>['code'];
      readonly address: number;
      readonly values: Uint16Array;
    };

/** Request and response alike: the response is an echo (6.5, 6.6). */
interface WriteOne {
  readonly kind: 'writeOne';
  readonly functionCode: RowOf<'writeOne'>['code'];
  readonly address: number;
  readonly value: number;
}

/**
 * Bits that `andMask` has set are kept, the others become those of `orMask`; the response is an echo (6.16).
 */
export interface MaskWrite {
  readonly kind: 'maskWrite';
  readonly functionCode: RowOf<'maskWrite'>['code'];
  readonly address: number;
  readonly andMask: number;
  readonly orMask: number;
}

/** The values are written before any is read (6.17). */
export interface ReadWriteRequest {
  readonly kind: 'readWrite';
  readonly functionCode: RowOf<'readWrite'>['code'];
  readonly address: number;
  readonly quantity: number;
  readonly writeAddress: number;
  readonly values: Uint16Array;
}

/** What a server says to a request; a read's values are as many as were asked for. */
export type Response =
  | { readonly kind: 'read'; readonly functionCode: RowOf<'read'>['code']; readonly values: Uint16Array }
  | WriteOne
  | {
      readonly kind: 'writeMany';
      readonly functionCode: RowOf<'writeMany'>['code'];
      readonly address: number;
      readonly quantity: number;
    }
  | MaskWrite
  | {
      readonly kind: 'readWrite';
      readonly functionCode: RowOf<'readWrite'>['code'];
      readonly values: Uint16Array;
    }
  | IdentifyResponse
  | ExceptionReply;

/** functionCode is the one of the request, whether we speak that function or not. */
export interface ExceptionReply {
  readonly kind: 'exception';
  readonly functionCode: number;
  readonly code: ExceptionCode;
}

/**
 * Why bytes are no answer to the request at hand. Such bytes must never pass for a reading: they may be
 * late, another unit's, or cut.
 */
export interface Mismatch {
  readonly kind: 'mismatched';
  readonly field: 'functionCode' | 'length' | 'echo' | 'exceptionCode' | 'identification';
}
