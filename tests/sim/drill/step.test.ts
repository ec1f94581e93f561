/** Steps as people write them, against the demo rig: taken, or refused in one sentence. */
import { expect, test } from 'vitest';
import { readStep } from '../../../sim/drill/step.ts';
import { demoRig } from '../../helpers/demo.ts';

const RIG = demoRig();
const close = (value: number): unknown => expect.closeTo(value, 9);

test.each([
  [
    { release: { at: 'cabinet', rate: '10 g/s', lasts: '7 min' } },
    { kind: 'release', at: 'cabinet', rateKgPerS: 0.01, lastsMs: 420_000 },
  ],
  [
    { release: { at: 'room-low', rate: '36 kg/h' } },
    { kind: 'release', at: 'room-low', rateKgPerS: 0.01, lastsMs: null },
  ],
  [
    { release: { at: 'cabinet', kg: '4.2 kg', emptiesIn: '4 min' } },
    { kind: 'release', rateKgPerS: 0.0175, lastsMs: 240_000 },
  ],
  [{ release: { at: 'cabinet', kg: 4.2, emptiesIn: '4 min' } }, { kind: 'release', rateKgPerS: 0.0175 }],
  [
    { release: { at: 'cabinet', kg: '4.2 kg', halfLife: '60 s' } },
    {
      kind: 'release',
      rateKgPerS: close((4.2 * Math.LN2) / 60),
      lastsMs: null,
      falls: { ofKg: 4.2, fromKg: 4.2 },
    },
  ],
  [
    { release: { at: 'cabinet', hole: '1 mm', pressure: '17 bar' } },
    // R-32, 52 g/mol: p V M / (R T) of the 10 l that are taken where none are given.
    {
      kind: 'release',
      lastsMs: null,
      falls: { ofKg: null, fromKg: close(0.3566015826252872) },
    },
  ],
  [
    { release: { at: 'cabinet', hole: '1 mm', pressure: '17 bar', vapourSpace: '20 l' } },
    { falls: { fromKg: close(0.7132031652505744) } },
  ],
  [
    { release: { at: 'cabinet', rate: '10 g/s', pumpDown: { after: '60 s', leaves: 0.1 } } },
    { kind: 'release', rateKgPerS: 0.01, lastsMs: null, pumpDown: { afterMs: 60_000, share: 0.1 } },
  ],
  [{ release: 'off' }, { kind: 'endRelease' }],
  [
    { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } },
    { kind: 'testGas', sensor: 'coil-a', percentLfl: 40, lastsMs: 30_000 },
  ],
  [{ testGas: { at: 'grille', level: 'off' } }, { kind: 'endTestGas', sensor: 'grille' }],
  [
    { fault: { in: 'coil-b', kind: 'silent', lasts: '2 min' } },
    { kind: 'fault', in: 'coil-b', lastsMs: 120_000, fault: { kind: 'silent', probability: 1 } },
  ],
  [
    { fault: { in: 'coil-b', kind: 'offset', by: '-5 %LFL', probability: 0.5 } },
    { fault: { kind: 'offset', parameters: { by: { value: -5 } }, probability: 0.5 } },
  ],
  [{ fault: { in: 'grille', kind: 'wire-open' } }, { in: 'grille', lastsMs: null }],
  [{ fault: { in: 'compressor.a', kind: 'compressor-welded' } }, { in: 'compressor.a' }],
  [
    { fault: { in: 'output.heat', kind: 'output-stuck', reads: 'on' } },
    { fault: { parameters: { reads: true } } },
  ],
  [
    { fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b' } },
    { fault: { parameters: { with: 'coil-b' } } },
  ],
  [{ mend: { in: 'coil-b' } }, { kind: 'mend', in: 'coil-b', faultKind: null }],
  [{ mend: { in: 'coil-b', kind: 'silent' } }, { kind: 'mend', faultKind: 'silent' }],
  [{ call: { cooling: 'on', heating: 'no' } }, { kind: 'call', calls: { cooling: true, heating: false } }],
  [{ power: { to: 'controller', cut: '10 s' } }, { kind: 'cutPower', to: 'controller', cutMs: 10_000 }],
  [{ power: { to: 'coil-a', cut: 'stays' } }, { kind: 'cutPower', to: 'coil-a', cutMs: null }],
  [{ power: { to: 'rig', restored: true } }, { kind: 'restorePower', to: 'rig' }],
  [{ serviceReset: {} }, { kind: 'serviceReset' }],
  [{ fire: 'on' }, { kind: 'fire', on: true }],
  [{ fire: false }, { kind: 'fire', on: false }],
])('%j is taken', (written, expected) => {
  expect(readStep(written, RIG)).toMatchObject({ ok: true, step: expected });
});

test.each([
  [{}, /exactly one of release, testGas/u],
  [{ fire: 'on', serviceReset: {} }, /exactly one of release, testGas/u],
  [{ fire: 'perhaps' }, /takes on or off/u],
  [{ release: { at: 'cabinet', rate: 10 } }, /10 needs its unit/u],
  [{ testGas: { at: 'coil-a', level: '900 %LFL' } }, /pure R-32 vapour/u],
  [{ testGas: { at: 'coil-c', level: '40 %LFL' } }, /no "coil-c"; did you mean "coil-[ab]"/u],
  [{ fault: { in: 'coil-c', kind: 'silent' } }, /no "coil-c"/u],
  [{ fault: { in: 'coil-a', kind: 'slient' } }, /not a fault; did you mean "silent"/u],
  [{ fault: { in: 'grille', kind: 'blind' } }, /blind is a fault of a Modbus sensor/u],
  [{ fault: { in: 'coil-a', kind: 'slow' } }, /t90/u],
  [{ fault: { in: 'coil-a', kind: 'offset', by: '5' } }, /needs its unit/u],
  [{ fault: { in: 'coil-a', kind: 'swapped', with: 'grille' } }, /takes another Modbus sensor/u],
  [{ fault: { in: 'coil-a', kind: 'swapped', with: 'coil-a' } }, /takes another Modbus sensor/u],
  [{ mend: { in: 'coil-x' } }, /no "coil-x"/u],
  [{ power: { to: 'boiler', cut: 'stays' } }, /no "boiler"/u],
  ['release', /./u],
])('%j is refused in one sentence', (written, says) => {
  const outcome = readStep(written, RIG);
  expect(outcome.ok).toBe(false);
  if (!outcome.ok) expect(outcome.problem).toMatch(says);
});
