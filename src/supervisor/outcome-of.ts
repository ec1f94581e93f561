/** What came over a wire, as the outcome of a poll. */
import { decodeResponse, type Received, type Request } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';

export const SILENT: Outcome<ArrayLike<number>> = { kind: 'silent' };

export function outcomeOf(received: Received, request: Request): Outcome<ArrayLike<number>> {
  switch (received.kind) {
    case 'nothing':
      return SILENT;
    case 'answered':
      return outcomeOfPdu(received.pdu, request);
    case 'refused':
      return { kind: 'refused', exception: received.exception };
    case 'mismatched':
      return { kind: 'mismatched', field: received.field };
  }
}

export function outcomeOfPdu(pdu: Uint8Array, request: Request): Outcome<ArrayLike<number>> {
  const response = decodeResponse(pdu, request);
  if (response.kind === 'mismatched') return response;
  if (response.kind === 'exception') return { kind: 'refused', exception: response.code };
  return { kind: 'answered', answer: response.kind === 'read' ? response.values : [] };
}
