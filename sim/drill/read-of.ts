/** The read that a request's PDU asks for. */
import { decodeRequest, type Request } from '../../src/modbus/index.ts';

/** A read/write asks as well: its answer carries what it read, and nothing of what it wrote (MB-APP 6.17). */
export type AskingRequest = Extract<Request, { kind: 'read' | 'readWrite' }>;

const PDU_BYTES = 5;
const READ_WRITE = 0x17;

/** null for anything but a whole read of functions 01 to 04, and a sound one of function 17. */
export function readOf(pdu: Uint8Array): AskingRequest | null {
  const functionCode = pdu[0];
  if (functionCode === READ_WRITE) {
    const request = decodeRequest(pdu);
    return request.kind === 'readWrite' ? request : null;
  }
  if (pdu.length !== PDU_BYTES) return null;
  if (functionCode !== 1 && functionCode !== 2 && functionCode !== 3 && functionCode !== 4) return null;
  const word = (at: number): number => ((pdu[at] ?? 0) << 8) | (pdu[at + 1] ?? 0);
  return { kind: 'read', functionCode, address: word(1), quantity: word(3) };
}

/** The function that would read the same and no more. */
export function readFunctionOf({ functionCode }: AskingRequest): 1 | 2 | 3 | 4 {
  return functionCode === READ_WRITE ? 3 : functionCode;
}
