/** What was seen of the world, as facts of the catalogue; traffic on the wire is not for the record. */

import type { Observation } from '../../sim/world/index.ts';
import type { Fact } from '../events/index.ts';

const G_PER_KG = 1000;

export function factsOf(seen: Observation): readonly Fact[] {
  const { atMs } = seen;
  switch (seen.kind) {
    case 'gas':
      return [{ id: 'gas.changed', atMs, fields: { at: seen.sensor, percentLfl: seen.percentLfl } }];
    case 'terminal':
      return [{ id: 'output.changed', atMs, fields: { output: seen.output, on: seen.on } }];
    case 'input':
      return inputFacts(seen);
    case 'power':
      return [{ id: seen.on ? 'power.restored' : 'power.cut', atMs, fields: { to: seen.to } }];
    case 'fault': {
      const { kind, parameters } = seen.fault;
      return seen.on
        ? [{ id: 'fault.injected', atMs, fields: { in: seen.in, kind, parameters: { ...parameters } } }]
        : [{ id: 'fault.mended', atMs, fields: { in: seen.in, kind } }];
    }
    case 'watchdog': {
      const effect = seen.expired ? 'compressors and heat dropped out, fan and dampers went on' : '';
      return seen.expired
        ? [{ id: 'watchdog.expired', atMs, fields: { afterMs: seen.watchdogMs, effect } }]
        : [];
    }
    case 'release':
      return seen.rateKgPerS > 0
        ? [{ id: 'release.started', atMs, fields: { at: seen.at, gPerS: seen.rateKgPerS * G_PER_KG } }]
        : [{ id: 'release.ended', atMs, fields: { at: seen.at } }];
    case 'testGas':
      return seen.percentLfl === null
        ? [{ id: 'testGas.ended', atMs, fields: { at: seen.sensor } }]
        : [{ id: 'testGas.started', atMs, fields: { at: seen.sensor, percentLfl: seen.percentLfl } }];
    case 'waits':
    case 'asked':
    case 'sent':
    case 'answered':
    case 'command':
      return [];
  }
}

function inputFacts(seen: Extract<Observation, { kind: 'input' }>): readonly Fact[] {
  const { atMs, on } = seen;
  switch (seen.input) {
    case 'airflow':
      return [{ id: 'airflow.changed', atMs, fields: { proven: on } }];
    case 'fire':
      return [{ id: 'fire.changed', atMs, fields: { on } }];
    case 'serviceReset':
      return on ? [{ id: 'serviceReset.pressed', atMs, fields: {} }] : [];
    default:
      return [{ id: 'call.changed', atMs, fields: { call: seen.input.replace('call.', ''), on } }];
  }
}
