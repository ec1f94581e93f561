/** Whether the field I/O can be heard: what is in force of its own faults and of its wire's. */
import { HEADER_BYTES, RTU_OVERHEAD_BYTES } from '../../src/modbus/index.ts';
import { framingOf, type Line, type Rig } from '../../src/rig/index.ts';
import type { Fault } from '../faults/index.ts';
import { throughGateway } from '../wire/gateway.ts';

/** PDUs of the longest exchange: all inputs of a module with most circuits. Writes are answered by fewer. */
const REQUEST = Uint8Array.of(2, 0, 0, 0, 32);
const ANSWER = Uint8Array.of(2, 4, 0, 0, 0, 0);

export class FieldIoFaults {
  /** Its answers go over a serial line, as a frame with a checksum: to whoever asks, or to a gateway. */
  readonly #serial: boolean = false;
  /** Whoever asks tells answers by their transaction number. */
  readonly #numbered: boolean = true;
  /** How late an answer may come. */
  readonly #withinMs: number = 0;
  readonly #standing = new Set<string>();

  constructor({ lines, fieldIo }: Rig) {
    const line = lines.find(({ id }) => id === fieldIo.line);
    if (line === undefined) return;
    this.#numbered = framingOf(line) === 'mbap';
    this.#serial = !this.#numbered || line.pace !== null;
    this.#withinMs = this.#numbered ? withinMs(line, fieldIo.unitId) : line.timeoutMs;
  }

  /** True while nothing keeps it from answering. */
  get answers(): boolean {
    return this.#standing.size === 0;
  }

  changed(fault: Fault, on: boolean): void {
    if (on && this.#silences(fault)) this.#standing.add(fault.kind);
    else this.#standing.delete(fault.kind);
  }

  /** An answer that comes within the time-out, and sound, is one. */
  #silences(fault: Fault): boolean {
    switch (fault.kind) {
      case 'late':
        return fault.parameters.by > this.#withinMs;
      case 'dribble': {
        const bytes = ANSWER.length + (this.#serial ? RTU_OVERHEAD_BYTES : HEADER_BYTES);
        return fault.parameters.every * bytes > this.#withinMs;
      }
      case 'bad-crc':
        return this.#serial;
      case 'wrong-transaction':
        return this.#numbered;
      case 'same-address':
        return fault.parameters.heard === 'garbled';
      default:
        return true;
    }
  }
}

/** A gateway waits for so long itself, and takes its time before and after. */
function withinMs({ pace, timeoutMs }: Line, unitId: number): number {
  if (pace === null) return timeoutMs;
  const { afterMs } = throughGateway(unitId, REQUEST, ANSWER, pace);
  return Math.min(pace.timeoutMs, timeoutMs - afterMs);
}
