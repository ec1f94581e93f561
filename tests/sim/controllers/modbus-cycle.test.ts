/** The Modbus sample in virtual time, register by register, in whole drills. */
import { describe, expect, test } from 'vitest';
import { decide, powerUp } from '../../../sim/controllers/minimal-controller.ts';
import { type Ask, readCycle, type Wiring, write } from '../../../sim/controllers/modbus-cycle.ts';
import type { Cycle, Plan } from '../../../sim/controllers/plan.ts';
import type { Drill } from '../../../sim/drill/index.ts';
import { TraceRecorder } from '../../../sim/drill/trace-recorder.ts';
import { resetLine } from '../../../src/app/drill/exec-protocol.ts';
import { VirtualWorld } from '../../../src/app/virtual-world.ts';
import { decodeResponse, encodeRequest } from '../../../src/modbus/index.ts';
import { ms } from '../../../src/units/index.ts';
import { drillNamed } from '../../mutants/drills.ts';
import { type Judged, judged } from '../../mutants/judged.ts';

const POLL_EVERY_MS = 1000;

/** Without power cuts of the controller: those need a process. */
async function overModbus(drill: Drill, silent: (unit: number) => boolean = () => false): Promise<Judged> {
  const { rig, lengthMs } = drill;
  const recorder = new TraceRecorder(rig, { startMs: 0, asksItself: false });
  const virtual = new VirtualWorld(rig, 1, recorder.observe);
  const plan = JSON.parse(resetLine(rig)) as Plan;
  const places = rig.sensors.map((one) => [one.id, one.kind === 'modbus' ? one.unitId : one.input] as const);
  const wiring: Wiring = { plan, at: Object.fromEntries(places) };
  const ask: Ask = (unit, request) => {
    const pdu = virtual.world.serve('main', unit, encodeRequest(request), virtual.nowMs);
    if (!(pdu instanceof Uint8Array) || silent(unit)) return Promise.resolve(null);
    const response = decodeResponse(pdu, request);
    return Promise.resolve(response.kind === 'mismatched' ? null : response);
  };
  let memory = powerUp(plan, null);
  let last: Cycle | null = null;
  let dueMs = 0;
  const runUntil = async (untilMs: number): Promise<void> => {
    for (const now of virtual.moments(ms(untilMs), () => dueMs)) {
      if (now < dueMs) continue;
      last = await readCycle(wiring, ask, last, () => now);
      const decision = decide(memory, last);
      memory = decision.memory;
      await write(decision.commands, ask);
      dueMs = now + POLL_EVERY_MS;
    }
  };
  virtual.apply({ kind: 'call', calls: drill.calls });
  for (const { atMs, step } of drill.steps) {
    await runUntil(atMs);
    expect(virtual.apply(step)).toBeNull();
  }
  await runUntil(lengthMs);
  return judged(drill, { trace: recorder.finish(lengthMs), trouble: [], leftOut: [] });
}

test.each([
  ['stops, though nothing is answered', false, [8, 0]],
  ['starts', true, [0, 8]],
])('a write that %s', async (_, on, order) => {
  const asked: number[] = [];
  const ask: Ask = (__, request) => {
    if (request.kind === 'writeMany') asked.push(request.address);
    return Promise.resolve(null);
  };
  const commands = { fan: true, damper: true, heat: false, alarm: false, trouble: false };
  await write({ ...commands, compressors: { a: false, b: on } }, ask);
  expect(asked).toEqual(order);
});

describe('the Modbus sample', () => {
  test.each([
    'short-leak',
    'test-gas-grille',
    'whole-charge',
    'one-falls-silent',
    'counter-at-rest',
    'no-number',
    'state-against-number',
    'exchanged-sensors',
    'sensor-loses-supply',
    'reports-failure',
    'fan-dead',
    'flickering-call',
    'locked-out',
    'fire-and-gas',
  ])('holds every rule of %s, asking for itself', async (name) => {
    const run = await overModbus(drillNamed(name));
    expect(run.complaints).toEqual([]);
    expect(run.exercised).toContain('ask');
  });

  test('feeds the watchdog: cold air goes on for as long as it is called for', async () => {
    const drill = drillNamed('ordinary-day');
    const { results } = await overModbus({ ...drill, steps: [], expectations: [] });
    expect(results.find(({ id }) => id === 'no-nuisance')?.result).toBe('held');
  });

  test('serves nothing while the field I/O does not answer it', async () => {
    const drill = drillNamed('ordinary-day');
    const deaf = await overModbus({ ...drill, steps: [], expectations: [] }, (unit) => unit === 200);
    expect(deaf.broken).toEqual(['resume']);
  });
});
