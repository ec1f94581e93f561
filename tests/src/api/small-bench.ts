/** A bench of two values: it holds a snapshot, takes steps that it knows, and remembers what was asked. */
import type { BenchPort, RigView, Snapshot, StepResult } from '../../../src/api/bench-port.ts';

const RIG: RigView = {
  name: 'Tide Street Library, archive room',
  refrigerant: { name: 'R-32', lflKgPerM3: 0.307, source: 'ISO 817:2014' },
  chargeKg: 4.2,
  room: { floorM2: 24, heightM: 2.5, volumeM3: 60 },
  cabinet: { volumeM3: 1.2 },
  fan: { airflowM3PerH: 900, spinUpMs: 4000 },
  circuits: ['a', 'b'],
  heat: true,
  lines: [{ id: 'main', address: 'tcp://127.0.0.1:1502' }],
  sensors: [{ id: 'coil-a', at: 'cabinet', kind: 'modbus', where: 'line main, address 11' }],
  policy: { setpoint: 20 },
  setpoint: { percentLfl: 20, clearBelow: 18, source: 'the rig' },
  warnings: [],
  faultKinds: [{ kind: 'silent', targets: ['sensor'], meaning: 'answers nothing' }],
  cautions: ['Simulation and training only.'],
};

export function snapshotWith(supervisor: Snapshot['supervisor']): Snapshot {
  return { sequence: 0, nowMs: 12_000, speed: 1, paused: false, world: null, supervisor };
}

const MITIGATING: Snapshot['supervisor'] = {
  state: 'mitigating',
  sinceMs: 11_000,
  holdLeftMs: null,
  holdRunning: false,
  sensors: {
    'coil-a': { state: 'gas', gas: 25, ageMs: 400, answering: true, hazards: [] },
    'coil-b': { state: 'measuring', gas: 3, ageMs: 9000, answering: false, hazards: [] },
    grille: { state: 'measuring', gas: null, ageMs: 400, answering: true, hazards: [] },
  },
  commands: { fan: { on: true, because: ['coil-a reports gas'] } },
};

export interface SmallBench extends BenchPort {
  /** Every step and clock change it was asked for. */
  readonly asked: unknown[];
  shown: Snapshot;
  polls: ReturnType<BenchPort['pollReport']>;
  why: string | null;
}

export function smallBench(): SmallBench {
  const bench: SmallBench = {
    asked: [],
    shown: snapshotWith(MITIGATING),
    polls: null,
    why: null,
    rigView: () => RIG,
    snapshot: () => bench.shown,
    pollReport: () => bench.polls,
    applyStep: (step) => answer(bench, step, typeof step === 'object' && step !== null && 'fire' in step),
    setClock: (change) => answer(bench, change, change.speed !== 13),
    notReady: () => bench.why,
  };
  return bench;
}

function answer(bench: SmallBench, asked: unknown, known: boolean): StepResult {
  bench.asked.push(asked);
  return known ? { ok: true } : { ok: false, problem: 'This small bench knows no such step.' };
}
