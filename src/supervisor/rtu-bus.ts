/**
 * One line in RTU frames, on a serial port or through a socket.
 *
 * Not modbus-serial, which serves Modbus TCP here: over a socket its RTU client takes every later answer for
 * the one before, once one came late; on a port it must be opened anew after each time-out. So it is asked in
 * our own frames, as a survey asks. Every trouble comes out as an outcome; nothing throws.
 */
import { FramedLine, type LineOptions, type LineWatcher, numbersMayPass } from '../line/index.ts';
import type { TableRequest } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import type { UnitId } from '../units/index.ts';
import type { BusClient } from './bus.ts';
import { outcomeOf, SILENT } from './outcome-of.ts';

export interface RtuBusOptions extends Pick<LineOptions, 'open' | 'silenceMs' | 'dropsUnheard'> {
  readonly address: string;
}

const NEVER_QUIET: Outcome<ArrayLike<number>> = { kind: 'mismatched', field: 'quiet' };

export function rtuBus({ address, ...options }: RtuBusOptions, watcher: LineWatcher): BusClient {
  const line = new FramedLine({ ...options, framing: 'rtu', mayPass: numbersMayPass }, watcher);
  return {
    address,
    perform: (unitId, request, timeoutMs) => performOn(line, unitId, request, timeoutMs),
    abandon() {
      line.abandon();
    },
    close() {
      line.close();
    },
  };
}

async function performOn(
  line: FramedLine,
  unitId: UnitId,
  request: TableRequest,
  timeoutMs: number,
): Promise<Outcome<ArrayLike<number>>> {
  const told = await line.ask(unitId, request, timeoutMs);
  if (told.kind === 'unquiet') return NEVER_QUIET;
  if (told.kind !== 'heard') return SILENT;
  const outcome = outcomeOf(told.received, request);
  return outcome.kind === 'answered' ? { ...outcome, answer: Array.from(outcome.answer) } : outcome;
}
