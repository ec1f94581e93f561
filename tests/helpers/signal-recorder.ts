/**
 * Every signal of the world as a list of changes, each from its moment on.
 *
 * Signals are those a drill can speak of: SENSOR.gas, command.OUTPUT, OUTPUT (the terminal), airflow,
 * call.NAME, serviceReset, fire, power.NAME, and the traffic of each unit id (asked and answered PDUs).
 */
import type { Observation } from '../../sim/world/observation.ts';

export interface Change {
  readonly atMs: number;
  readonly value: number | boolean | string;
}

export class SignalRecorder {
  readonly #signals = new Map<string, Change[]>();

  /** Hand this to the world as its observer. */
  readonly observe = (seen: Observation): void => {
    const [signal, value] = signalOf(seen);
    const changes = this.#signals.get(signal);
    if (changes === undefined) this.#signals.set(signal, [{ atMs: seen.atMs, value }]);
    else changes.push({ atMs: seen.atMs, value });
  };

  /** Changes of a signal in order; empty where it never spoke. */
  changes(signal: string): readonly Change[] {
    return this.#signals.get(signal) ?? [];
  }

  signals(): readonly string[] {
    return [...this.#signals.keys()].sort();
  }
}

function signalOf(seen: Observation): readonly [string, Change['value']] {
  switch (seen.kind) {
    case 'gas':
      return [`${seen.sensor}.gas`, seen.percentLfl];
    case 'waits':
    case 'asked':
    case 'answered':
      return [`${seen.line}.${seen.unitId}.${seen.kind}`, hex(seen.pdu)];
    case 'sent':
      return [`${seen.line}.${seen.unitId}.sent`, seen.exception ?? seen.sentAtMs !== null];
    case 'command':
      return [`command.${seen.output}`, seen.on];
    case 'terminal':
      return [seen.output, seen.on];
    case 'input':
      return [seen.input, seen.on];
    case 'power':
      return [`power.${seen.to}`, seen.on];
    case 'fault':
      return [`${seen.in}.fault.${seen.fault.kind}`, seen.on];
    case 'watchdog':
      return ['watchdog', seen.expired];
    case 'release':
      return ['release', seen.rateKgPerS];
    case 'testGas':
      return [`${seen.sensor}.testGas`, seen.percentLfl ?? false];
  }
}

function hex(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join(' ');
}
