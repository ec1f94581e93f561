/** What the supervisor needs of a line: somebody to ask on it, whatever the line is made of. */
import type { TableRequest } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import type { UnitId } from '../units/index.ts';

export interface BusClient {
  readonly address: string;
  /** Asks once; `timeoutMs` in real time. Read values come back as numbers, 0 or 1 for bits. */
  perform(unitId: UnitId, request: TableRequest, timeoutMs: number): Promise<Outcome<ArrayLike<number>>>;
  /** Ends what is being asked, unheard: a write that must go out now waits for nobody. */
  abandon(): void;
  close(): void;
}
