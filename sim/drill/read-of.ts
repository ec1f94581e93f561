/** The read that a request's PDU asks for. */
import type { Request } from '../../src/modbus/index.ts';

const PDU_BYTES = 5;

/** null for anything but a whole read of functions 01 to 04. */
export function readOf(pdu: Uint8Array): Extract<Request, { kind: 'read' }> | null {
  const functionCode = pdu[0];
  if (pdu.length !== PDU_BYTES) return null;
  if (functionCode !== 1 && functionCode !== 2 && functionCode !== 3 && functionCode !== 4) return null;
  const word = (at: number): number => ((pdu[at] ?? 0) << 8) | (pdu[at + 1] ?? 0);
  return { kind: 'read', functionCode, address: word(1), quantity: word(3) };
}
