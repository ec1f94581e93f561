import { describe, expect, it } from 'vitest';
import {
  callStep,
  cutStep,
  endReleaseStep,
  endTestGasStep,
  faultStep,
  fireStep,
  mendStep,
  releaseStep,
  resetStep,
  restoreStep,
  testGasStep,
} from '../../../../src/page/data/steps.ts';

describe('steps as a drill file writes them', () => {
  it('names calls and the fire signal with on and off', () => {
    expect(callStep('cooling', true)).toEqual({ call: { cooling: 'on' } });
    expect(fireStep(false)).toEqual({ fire: 'off' });
  });

  it('gives a release by rate or by a mass that empties', () => {
    expect(releaseStep({ at: 'cabinet', amount: { kind: 'rate', rate: '10 g/s', lasts: '7 min' } })).toEqual({
      release: { at: 'cabinet', rate: '10 g/s', lasts: '7 min' },
    });
    expect(
      releaseStep({ at: 'room-low', amount: { kind: 'mass', kg: '4.2 kg', emptiesIn: '4 min' } }),
    ).toEqual({ release: { at: 'room-low', kg: '4.2 kg', emptiesIn: '4 min' } });
  });

  it('leaves out what was not written', () => {
    const empty = { kind: 'silent', parameters: { code: '' }, lasts: ' ', probability: '' };
    expect(testGasStep('coil-a', '40 %LFL', ' ')).toEqual({ testGas: { at: 'coil-a', level: '40 %LFL' } });
    expect(faultStep('coil-b', empty)).toEqual({ fault: { in: 'coil-b', kind: 'silent' } });
  });

  it('puts a fault’s own parameters beside its kind, bare numbers as numbers', () => {
    const parameters = { by: '-5 %LFL', factor: '0.5' };
    expect(faultStep('coil-b', { kind: 'offset', parameters, lasts: '2 min', probability: '0.1' })).toEqual({
      fault: { in: 'coil-b', kind: 'offset', by: '-5 %LFL', factor: 0.5, lasts: '2 min', probability: 0.1 },
    });
  });

  it('cuts power for a time, or until it is restored', () => {
    expect(cutStep('controller', '10 s')).toEqual({ power: { to: 'controller', cut: '10 s' } });
    expect(cutStep('rig', '')).toEqual({ power: { to: 'rig', cut: 'stays' } });
    expect(restoreStep('rig')).toEqual({ power: { to: 'rig', restored: true } });
  });

  it('ends a release and a test gas', () => {
    expect(endReleaseStep()).toEqual({ release: 'off' });
    expect(endTestGasStep('coil-a')).toEqual({ testGas: { at: 'coil-a', level: 'off' } });
  });

  it('mends one fault or all, and presses service reset', () => {
    expect(mendStep('coil-a')).toEqual({ mend: { in: 'coil-a' } });
    expect(mendStep('coil-a', 'stuck')).toEqual({ mend: { in: 'coil-a', kind: 'stuck' } });
    expect(resetStep()).toEqual({ serviceReset: {} });
  });
});
