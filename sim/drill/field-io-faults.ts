/** Whether the field I/O can be heard: what is in force of its own faults and of its wire's. */
import type { Rig } from '../../src/rig/index.ts';
import type { Fault } from '../faults/index.ts';

/** Bytes of an answer with all its inputs, those with most circuits; answers to writes are shorter. */
const ANSWER_BYTES = 13;

export class FieldIoFaults {
  readonly #timeoutMs: number;
  readonly #standing = new Set<string>();

  constructor({ lines, fieldIo }: Rig) {
    this.#timeoutMs = lines.find(({ id }) => id === fieldIo.line)?.timeoutMs ?? 0;
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
    if (fault.kind === 'late') return fault.parameters.by > this.#timeoutMs;
    if (fault.kind === 'dribble') return fault.parameters.every * ANSWER_BYTES > this.#timeoutMs;
    return fault.kind !== 'same-address' || fault.parameters.heard === 'garbled';
  }
}
