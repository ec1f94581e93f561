import { describe, expect, it } from 'vitest';
import { partsOf } from '../../../../src/page/data/parts.ts';
import {
  callStep,
  cutStep,
  endReleaseStep,
  endTestGasStep,
  faultStep,
  fireStep,
  mendStep,
  parametersOf,
  releaseStep,
  resetStep,
  restoreStep,
  testGasStep,
} from '../../../../src/page/data/steps.ts';
import { RIG } from '../../../browser/harness/rig.ts';

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

  it('leaves `lasts` out where none was written', () => {
    expect(testGasStep('coil-a', '40 %LFL', ' ')).toEqual({ testGas: { at: 'coil-a', level: '40 %LFL' } });
    expect(faultStep('coil-b', 'silent', '', '')).toEqual({ fault: { in: 'coil-b', kind: 'silent' } });
  });

  it('puts a fault’s own parameters beside its kind', () => {
    expect(faultStep('coil-b', 'offset', 'by: -5 %LFL', '2 min')).toEqual({
      fault: { in: 'coil-b', kind: 'offset', by: '-5 %LFL', lasts: '2 min' },
    });
  });

  it('reads bare numbers as numbers and everything else as written', () => {
    expect(parametersOf('factor: 0.5, at: room-low,, with: coil-b')).toEqual({
      factor: 0.5,
      at: 'room-low',
      with: 'coil-b',
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

  it('mends, and presses service reset', () => {
    expect(mendStep('coil-a')).toEqual({ mend: { in: 'coil-a' } });
    expect(resetStep()).toEqual({ serviceReset: {} });
  });
});

describe('the parts of a rig', () => {
  const parts = new Map(partsOf(RIG).map((part) => [part.id, part]));
  const kinds = (id: string): readonly string[] | undefined => parts.get(id)?.faults.map(({ kind }) => kind);

  it('offers each part only the faults it can have', () => {
    expect(kinds('coil-a')).toEqual(['silent', 'stuck', 'offset', 'no-power']);
    expect(kinds('grille')).toEqual(['no-power', 'wire-open']);
    expect(kinds('compressor.b')).toEqual(['compressor-welded']);
    expect(kinds('fan')).toEqual(['fan-dead']);
    expect(kinds('output.compressor.b')).toEqual(['output-stuck']);
    expect(kinds('fieldIo')).toEqual(['io-silent']);
  });

  it('offers power to the controller, the rig and each sensor', () => {
    const powered = [...parts.values()].filter((part) => part.hasPower).map((part) => part.id);
    expect(powered).toEqual(['coil-a', 'coil-b', 'grille', 'controller', 'rig']);
  });

  it('holds test gas at sensors alone', () => {
    const sensors = [...parts.values()].filter((part) => part.isSensor).map((part) => part.id);
    expect(sensors).toEqual(['coil-a', 'coil-b', 'grille']);
  });
});
