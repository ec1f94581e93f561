/**
 * A scripted run for the page to show: a release of 10 g/s for 7 min into the cabinet, the trip, the gas
 * that comes back through the room, the hold. A toy of a model, in whole seconds, for pictures and tests of
 * the page alone; nothing here judges or is judged.
 */
import { type Snapshot, snapshotSchema } from '../../../src/api/snapshot-schema.ts';
import { type CloudEvent, type Fact, toCloudEvent } from '../../../src/events/index.ts';
import { RIG } from './rig.ts';

export interface Story {
  readonly events: readonly CloudEvent[];
  readonly snapshot: Snapshot;
}

type Phase = 'starting' | 'running' | 'mitigating' | 'holding';

const SELF_TEST_S = 10;
const RELEASE_S = { from: 60, to: 480 };
const HOLD_S = 300;
const LFL_KG_PER_M3 = RIG.refrigerant.lflKgPerM3;

interface Run {
  second: number;
  cabinet: number;
  room: number;
  reading: number;
  told: { gas: number; room: number; reading: number };
  phase: Phase;
  sinceS: number;
  lastGasS: number;
  fanSinceS: number | null;
  compressors: { a: boolean; b: boolean };
  calls: boolean;
  facts: Fact[];
}

/** Tells the run up to a second of bench time. */
export function tellStory(seconds: number): Story {
  const run = begin();
  while (run.second < seconds) step(run);
  const events = run.facts.map((fact, index) =>
    toCloudEvent(fact, index + 1, 1_700_000_000_000 + fact.atMs, RIG.name),
  );
  return { events, snapshot: snapshotSchema.parse(pictureOf(run, events.length)) };
}

function begin(): Run {
  return {
    second: 0,
    cabinet: 0,
    room: 0,
    reading: 0,
    told: { gas: 0, room: 0, reading: -1 },
    phase: 'starting',
    sinceS: 0,
    lastGasS: 0,
    fanSinceS: null,
    compressors: { a: false, b: false },
    calls: false,
    facts: [
      { id: 'bench.started', atMs: 0, fields: { rig: RIG.name } },
      { id: 'wire.opened', atMs: 5, fields: { line: 'main', address: 'tcp://127.0.0.1:1502' } },
      { id: 'supervisor.started', atMs: 20, fields: { state: 'starting', reason: 'the record is new' } },
    ],
  };
}

function step(run: Run): void {
  run.second += 1;
  const { second } = run;
  moveGas(run);
  if (second === RELEASE_S.from) tell(run, 'release.started', { at: 'cabinet', gPerS: 10 });
  if (second === RELEASE_S.to) tell(run, 'release.ended', { at: 'cabinet' });
  if (second === 90) {
    run.calls = true;
    tell(run, 'call.changed', { call: 'cooling', on: true });
  }
  if (run.reading >= 20) run.lastGasS = second;
  decide(run);
}

function moveGas(run: Run): void {
  const exchangeM3PerS = (airflow(run) ? 900 : 30) / 3600;
  const released = run.second > RELEASE_S.from && run.second <= RELEASE_S.to ? 0.01 : 0;
  for (let part = 0; part < 20; part += 1) {
    const moved = (exchangeM3PerS * (run.cabinet - run.room)) / 20;
    run.cabinet += ((released / 20 / LFL_KG_PER_M3) * 100 - moved) / 1.2;
    run.room += (moved - (run.room * 120) / 3600 / 20) / 60;
  }
  run.reading += (run.cabinet - run.reading) * (1 - Math.exp(-1 / 4.34));
  if (Math.abs(run.cabinet - run.told.gas) >= 0.4) {
    run.told.gas = run.cabinet;
    for (const at of ['coil-a', 'coil-b']) tell(run, 'gas.changed', { at, percentLfl: run.cabinet });
  }
  if (Math.abs(run.room - run.told.room) >= 0.4) {
    run.told.room = run.room;
    tell(run, 'gas.changed', { at: 'grille', percentLfl: run.room });
  }
  if (run.second >= SELF_TEST_S && Math.abs(run.reading - run.told.reading) >= 0.5) {
    run.told.reading = run.reading;
    for (const sensor of ['coil-a', 'coil-b']) {
      const state = run.reading >= 20 ? 'gas' : 'measuring';
      tell(run, 'reading.changed', { sensor, state, percentLfl: Math.round(run.reading * 10) / 10 });
    }
  }
}

function decide(run: Run): void {
  const { second, phase } = run;
  const gas = run.reading >= 20;
  if (phase === 'starting' && second === SELF_TEST_S)
    enter(run, 'running', 'every sensor has passed its self-test');
  if (gas && phase !== 'mitigating') trip(run);
  if (phase === 'mitigating' && run.reading < 18) {
    for (const subject of ['coil-a', 'coil-b'])
      tell(run, 'hazard.cleared', { hazard: 'gas', subject, title: 'gas' });
    command(run, 'alarm', false, ['nothing asks for alarm']);
    enter(run, 'holding', 'no sensor is at the setpoint, failed or silent any longer');
  }
  if (phase === 'holding' && second - run.lastGasS >= HOLD_S) enter(run, 'running', 'the hold has passed');
  if (phase === 'running' && run.calls) serve(run);
}

function trip(run: Run): void {
  for (const subject of ['coil-a', 'coil-b']) {
    const text = `${subject} reports gas (${shown(run)}; the setpoint is 20 %LFL)`;
    tell(run, 'hazard.raised', { hazard: 'gas', subject, text });
  }
  enter(run, 'mitigating', `coil-a reports gas (${shown(run)}; the setpoint is 20 %LFL)`);
  command(run, 'fan', true, ['coil-a reports gas']);
  command(run, 'damper', true, ['coil-a reports gas']);
  command(run, 'alarm', true, ['coil-a reports gas']);
  for (const circuit of ['a', 'b'] as const) {
    if (run.compressors[circuit]) command(run, `compressor.${circuit}`, false, ['coil-a reports gas']);
    run.compressors[circuit] = false;
  }
}

function shown(run: Run): string {
  return `${Math.round(run.reading * 10) / 10} %LFL`;
}

function serve(run: Run): void {
  const servedS = run.second - run.sinceS;
  for (const [circuit, afterS] of [
    ['a', 2],
    ['b', 12],
  ] as const) {
    if (run.compressors[circuit] || servedS < afterS) continue;
    run.compressors[circuit] = true;
    command(run, `compressor.${circuit}`, true, ['a call for cooling stands']);
  }
}

function enter(run: Run, phase: Phase, reason: string): void {
  tell(run, 'mitigation.changed', { from: run.phase, to: phase, reason });
  run.phase = phase;
  run.sinceS = run.second;
}

function command(run: Run, output: string, on: boolean, because: string[]): void {
  if (output === 'fan') {
    if ((run.fanSinceS !== null) === on) return;
    run.fanSinceS = on ? run.second : null;
  }
  tell(run, 'command.changed', { output, on, because });
  tell(run, 'output.changed', { output, on });
}

function airflow(run: Run): boolean {
  return run.fanSinceS !== null && run.second - run.fanSinceS >= 4;
}

function tell<Id extends Fact['id']>(run: Run, id: Id, fields: Extract<Fact, { id: Id }>['fields']): void {
  run.facts.push({ id, atMs: run.second * 1000, fields } as Fact);
}

function pictureOf(run: Run, sequence: number): Snapshot {
  const gas = run.phase === 'mitigating';
  const fan = run.fanSinceS !== null;
  const holdLeftMs = run.phase === 'holding' ? (HOLD_S - (run.second - run.lastGasS)) * 1000 : null;
  const commands = {
    fan,
    damper: fan,
    heat: false,
    alarm: gas,
    trouble: false,
    'compressor.a': run.compressors.a,
    'compressor.b': run.compressors.b,
  };
  const why = becauseOf(run, holdLeftMs);
  return {
    sequence,
    nowMs: run.second * 1000,
    speed: 1,
    paused: true,
    world: worldOf(run, commands),
    stepping: false,
    recordTrouble: null,
    wire: null,
    drill: null,
    supervisor: {
      state: run.phase,
      sinceMs: run.sinceS * 1000,
      holdLeftMs,
      holdRunning: holdLeftMs !== null,
      sensors: {
        'coil-a': beliefOf(run, 'coil-a'),
        'coil-b': beliefOf(run, 'coil-b'),
        grille: { state: 'measuring', gas: null, ageMs: 300, answering: true, hazards: [] },
      },
      commands: Object.fromEntries(
        Object.entries(commands).map(([output, on]) => [output, { on, because: why(output) }]),
      ),
    },
  };
}

function becauseOf(run: Run, holdLeftMs: number | null): (output: string) => string[] {
  return (output) => {
    if (output === 'trouble') return ['nothing asks for trouble'];
    if (output === 'alarm' && run.phase !== 'mitigating') return ['nothing asks for alarm'];
    if (run.phase === 'mitigating') {
      return [
        `coil-a reports gas (${shown(run)}; the setpoint is 20 %LFL)`,
        `coil-b reports gas (${shown(run)}; the setpoint is 20 %LFL)`,
        'it lasts until 5 min after the last sign of these, and until every sensor reads below 18 %LFL',
      ];
    }
    if (holdLeftMs !== null) return [`the hold has ${Math.round(holdLeftMs / 1000)} s to run`];
    return [run.calls ? 'a call for cooling stands' : 'no call stands'];
  };
}

function beliefOf(run: Run, sensor: string): NonNullable<Snapshot['supervisor']>['sensors'][string] {
  const gas = run.reading >= 18 && run.phase === 'mitigating';
  const reading = Math.round(run.reading * 10) / 10;
  if (run.second < SELF_TEST_S) {
    return { state: 'warming-up', gas: null, ageMs: null, answering: true, hazards: [] };
  }
  return {
    state: gas ? 'gas' : 'measuring',
    gas: reading,
    ageMs: 400,
    answering: true,
    hazards: gas
      ? [{ hazard: 'gas', text: `${sensor} reports gas (${reading} %LFL; the setpoint is 20 %LFL)` }]
      : [],
  };
}

function worldOf(run: Run, terminals: Record<string, boolean>): NonNullable<Snapshot['world']> {
  const gas = run.reading >= 20;
  const lamp = gas
    ? ({ colour: 'red', hz: 2, word: 'gas' } as const)
    : ({ colour: 'green', hz: 0, word: 'measuring' } as const);
  const sensor = (percentLfl: number) => ({
    gas: percentLfl,
    testGas: null,
    powered: true,
    lamp,
    faults: [],
  });
  return {
    cabinet: run.cabinet,
    room: run.room,
    releaseGPerS: run.second > RELEASE_S.from && run.second < RELEASE_S.to ? 10 : 0,
    chargeLeftKg: 4.2 - 0.01 * Math.min(420, Math.max(0, run.second - RELEASE_S.from)),
    airflowM3PerH: airflow(run) ? 900 : 0,
    airflowProven: airflow(run),
    sensors: {
      'coil-a': sensor(run.cabinet),
      'coil-b': sensor(run.cabinet),
      grille: { ...sensor(run.room), lamp: null },
    },
    terminals,
    compressorRunning: { a: run.compressors.a, b: run.compressors.b },
    calls: { cooling: run.calls, heating: false, fan: false },
    fire: false,
    unpowered: [],
    equipmentFaults: {},
  };
}
