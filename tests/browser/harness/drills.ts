/** Drills for the page to show: a list, one that was judged, and a recording. */
import { drillListSchema, drillReportSchema, recordingSchema } from '../../../src/api/drill-schema.ts';
import type { StandInDrills } from './server.ts';

export function someDrills(): StandInDrills {
  const { drills } = drillListSchema.parse({
    drills: [
      {
        id: 'gas-lingers',
        name: 'Gas lingers past the hold',
        why: 'The room is small enough that gas comes back through the return air.',
        lengthMs: 1_500_000,
        lesson: false,
        fits: null,
      },
      {
        id: 'grille-wire-broken',
        name: 'The wire of the grille breaks',
        why: 'A broken wire must read as gas.',
        lengthMs: 600_000,
        lesson: false,
        fits: 'this rig has no sensor grille',
      },
      {
        id: 'quiet-coil',
        name: 'A coil that says nothing',
        why: 'Silence is not safety.',
        lengthMs: 300_000,
        lesson: true,
        fits: null,
      },
    ],
  });
  const report = drillReportSchema.parse({
    id: 'gas-lingers',
    name: 'Gas lingers past the hold',
    why: 'The room is small enough that gas comes back through the return air.',
    state: 'judged',
    beganAtMs: 10_000,
    lengthMs: 1_500_000,
    steps: [
      { atMs: 30_000, text: 'a release of 10 g/s into the cabinet, for 7 min', done: true },
      { atMs: 90_000, text: 'call for cooling', done: true },
    ],
    lesson: false,
    verdict: 'broken',
    notes: ['The power step was skipped.'],
    rules: [
      { id: 'ask', result: 'held', margin: 8.4, unit: 's', atMs: 5000, sensor: 'coil-b', because: [] },
      {
        id: 'recheck',
        result: 'broken',
        margin: -12,
        unit: 's',
        atMs: 420_000,
        sensor: 'coil-a',
        because: ['the compressor ran while coil-a read gas'],
      },
      { id: 'fire', result: 'not exercised', margin: null, unit: 's', atMs: null, sensor: null, because: [] },
    ],
    expectations: [{ text: 'at 15 min, compressor.a', result: 'held', because: ['it was on at 15 min'] }],
  });
  const recording = recordingSchema.parse({ steps: 2, fromMs: 0, text: 'drill: 1\nname: What I did\n' });
  return { list: drills, report, recording };
}
