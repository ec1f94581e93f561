/** The log of a command that runs for long: JSON lines on standard error, from LEAKBENCH_LOG's level on. */
import { type Logger, pino } from 'pino';

/**
 * Through the process's own stream, which writes at once on Linux. pino.destination (sonic-boom 4.2) tries
 * for ever at the end where a line cannot be written: a full disk would hold the process.
 */
export function standardLog(): Logger {
  return pino({ level: process.env['LEAKBENCH_LOG'] ?? 'warn' }, process.stderr);
}
