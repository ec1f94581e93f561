/** A bench of two values: it holds a snapshot, takes steps that it knows, and remembers what was asked. */
import type { BenchPort, StepResult } from '../../../src/api/bench-port.ts';
import type { DrillListing, DrillReport } from '../../../src/api/drill-schema.ts';
import type { RigView } from '../../../src/api/rig-view-schema.ts';
import type { Snapshot } from '../../../src/api/snapshot-schema.ts';
import { DEMO_POLICY } from '../../helpers/demo-policy.ts';

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
  sensors: [
    {
      id: 'coil-a',
      at: 'cabinet',
      kind: 'modbus',
      where: 'line main, address 11',
      serial: '240811',
      unitId: 11,
      line: 'main',
    },
  ],
  policy: DEMO_POLICY,
  setpoint: { percentLfl: 20, clearBelow: 18, source: 'the rig' },
  warnings: [],
  faultKinds: [
    {
      kind: 'silent',
      targets: ['sensor'],
      meaning: 'answers nothing',
      chance: 'each request',
      parameters: [],
    },
  ],
  places: ['cabinet', 'room-low', 'room-high'],
  cautions: ['Simulation and training only.'],
};

export function snapshotWith(supervisor: Snapshot['supervisor']): Snapshot {
  return {
    sequence: 0,
    nowMs: 12_000,
    speed: 1,
    paused: false,
    stepping: false,
    recordTrouble: null,
    world: null,
    supervisor,
    wire: null,
    drill: null,
  };
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

const LISTED: DrillListing = {
  id: 'fire',
  name: 'Fire',
  why: 'Fire comes first.',
  lengthMs: 60_000,
  lesson: false,
  fits: null,
};

export interface SmallBench extends BenchPort {
  /** Every step, clock change, drill and fresh start it was asked for. */
  readonly asked: unknown[];
  shown: Snapshot;
  polls: ReturnType<BenchPort['pollReport']>;
  figures: ReturnType<BenchPort['supervisorFigures']>;
  /** Tells of a poll that nobody made. */
  polled: Parameters<BenchPort['watchPolls']>[0];
  why: string | null;
  report: DrillReport | null;
}

export function smallBench(): SmallBench {
  const bench: SmallBench = {
    stepSchema: { type: 'object', properties: { fire: { type: 'string' } } },
    asked: [],
    shown: snapshotWith(MITIGATING),
    polls: null,
    figures: null,
    polled: () => undefined,
    why: null,
    rigView: () => RIG,
    snapshot: () => bench.shown,
    pollReport: () => bench.polls,
    countPollsAnew: () => answer(bench, 'count polls anew', bench.polls !== null),
    applyStep: (step) => answer(bench, step, typeof step === 'object' && step !== null && 'fire' in step),
    setClock: (change) => answer(bench, change, change.speed !== 13),
    watchPolls: (told) => {
      bench.polled = told;
    },
    supervisorFigures: () => bench.figures,
    notReady: () => bench.why,
    report: null,
    restart: () => Promise.resolve(answer(bench, 'restart', true)),
    drills: () => Promise.resolve([LISTED]),
    playDrill: (wanted) =>
      Promise.resolve(answer(bench, wanted, 'text' in wanted || wanted.id === LISTED.id)),
    stopDrill: () => answer(bench, 'stop', bench.report !== null),
    drillReport: () => bench.report,
    recording: (name) => (bench.polls === null ? null : { steps: 0, fromMs: 0, text: name ?? '' }),
  };
  return bench;
}

function answer(bench: SmallBench, asked: unknown, known: boolean): StepResult {
  bench.asked.push(asked);
  return known ? { ok: true } : { ok: false, problem: 'This small bench knows no such step.' };
}
