import { describe, expect, it } from 'vitest';
import { stepText } from '../../../../src/app/report/step-text.ts';
import { demoRig, stepFor } from '../../../helpers/demo.ts';

const rig = demoRig();

describe('a step in words', () => {
  it.each([
    [
      { release: { at: 'room-low', rate: '10 g/s', lasts: '7 min' } },
      'release of 10 g/s at room, low, for 7 min',
    ],
    [{ release: { at: 'cabinet', rate: '6 g/s' } }, 'release of 6 g/s at cabinet, until the charge is gone'],
    [
      {
        release: {
          at: 'cabinet',
          kg: '4 kg',
          halfLife: '60 s',
          pumpDown: { after: '30 s', leaves: 0.2 },
        },
      },
      'release of 46.2 g/s at cabinet, falling with what is left, until the charge is gone, pumped down after 30 s to 20 %',
    ],
    [{ release: 'off' }, 'the release ends'],
    [
      { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } },
      'test gas of 40 %LFL held at coil-a, for 30 s',
    ],
    [{ testGas: { at: 'coil-a', level: 'off' } }, 'test gas taken away from coil-a'],
    [{ fault: { in: 'coil-b', kind: 'silent', lasts: '2 min' } }, 'fault silent in coil-b, for 2 min'],
    [
      { fault: { in: 'coil-b', kind: 'offset', by: '-5 %LFL' } },
      'fault offset (by -5 %LFL) in coil-b, for good',
    ],
    [
      { fault: { in: 'coil-b', kind: 'slow', t90: '90 s', probability: 0.5 } },
      'fault slow (t90 1 min 30 s, probability 0.5) in coil-b, for good',
    ],
    [
      { fault: { in: 'coil-b', kind: 'poisoned', lasts: '299999 ms' } },
      'fault poisoned (factor 0.3, halfLife 30 min) in coil-b, for 299.999 s',
    ],
    [{ fault: { in: 'coil-b', kind: 'late', by: '1999 ms' } }, 'fault late (by 1.999 s) in coil-b, for good'],
    [{ fault: { in: 'coil-b', kind: 'late', by: '2001 ms' } }, 'fault late (by 2.001 s) in coil-b, for good'],
    [
      { fault: { in: 'coil-b', kind: 'reboots', every: '100 ms' } },
      'fault reboots (every 100 ms) in coil-b, for good',
    ],
    [
      { fault: { in: 'airflow', kind: 'airflow-switch-stuck' } },
      'fault airflow-switch-stuck in airflow switch, for good',
    ],
    [{ fault: { in: 'coil-b', kind: 'gain', factor: 0.5 } }, 'fault gain (factor 0.5) in coil-b, for good'],
    [
      { fault: { in: 'airflow', kind: 'airflow-switch-stuck', reads: 'on' } },
      'fault airflow-switch-stuck (reads on) in airflow switch, for good',
    ],
    [
      { fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b' } },
      'fault swapped (with coil-b) in coil-a, for good',
    ],
    [{ mend: { in: 'coil-b' } }, 'all faults of coil-b mended'],
    [{ mend: { in: 'coil-b', kind: 'silent' } }, 'fault silent of coil-b mended'],
    [{ call: { cooling: 'on', fan: 'off' } }, 'call for cooling on, call for fan off'],
    [{ power: { to: 'controller', cut: '10 s' } }, 'power to the controller cut, for 10 s'],
    [{ power: { to: 'rig', cut: 'stays' } }, 'power to the whole rig cut, until restored'],
    [{ power: { to: 'coil-a', restored: true } }, 'power to coil-a restored'],
    [{ serviceReset: {} }, 'a person presses service reset'],
    [{ fire: 'on' }, 'fire signal on'],
  ])('%j reads "%s"', (written, text) => {
    expect(stepText(stepFor(rig, written))).toBe(text);
  });
});
