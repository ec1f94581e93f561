import { describe, expect, it } from 'vitest';
import { FAULTS } from '../../../../sim/faults/index.ts';
import { outputsOf } from '../../../../src/page/data/outputs.ts';
import { faultsAt, type Place, standingAt } from '../../../../src/page/data/parts.ts';
import type { RigView } from '../../../../src/page/types.ts';
import { RIG } from '../../../browser/harness/rig.ts';
import { tellStory } from '../../../browser/harness/story.ts';

/** The demo rig with every fault there is. */
const rig: RigView = {
  ...RIG,
  faultKinds: Object.entries(FAULTS).map(([kind, { targets, meaning, drawn }]) => ({
    kind,
    targets,
    meaning,
    chance: drawn,
    parameters: [],
  })),
};
const kinds = (part: string, place: Place) => faultsAt(rig, part, place).map(({ kind }) => kind);

describe('the faults of a rig, at the parts they belong to', () => {
  it('leaves out none', () => {
    const parts = [...rig.sensors.map(({ id }) => id), 'fieldIo', 'fan', 'airflow'];
    const outputs = outputsOf(rig).map((output) => `output.${output}`);
    const compressors = rig.circuits.map((circuit) => `compressor.${circuit}`);
    const all = [...parts, ...outputs, ...compressors].flatMap((part) => [
      ...kinds(part, 'part'),
      ...kinds(part, 'wire'),
    ]);
    expect(new Set(all)).toEqual(new Set(Object.keys(FAULTS)));
  });

  it('offers each in one place alone', () => {
    for (const { id } of rig.sensors) {
      const onWire = new Set(kinds(id, 'wire'));
      expect(kinds(id, 'part').filter((kind) => onWire.has(kind))).toEqual([]);
    }
  });

  it('tells a sensor from its wire', () => {
    expect(kinds('coil-a', 'part')).toContain('silent');
    expect(kinds('coil-a', 'part')).not.toContain('garbage');
    expect(kinds('coil-a', 'wire')).toContain('garbage');
    expect(kinds('grille', 'part')).toEqual(['misplaced', 'no-power']);
    expect(kinds('grille', 'wire')).toEqual(['wire-open', 'wire-short']);
    expect(kinds('compressor.b', 'part')).toEqual(['compressor-welded']);
    expect(kinds('output.compressor.b', 'part')).toEqual(['output-stuck']);
    expect(kinds('fieldIo', 'wire')).toContain('io-silent');
  });

  it('finds what stands where it belongs', () => {
    const { snapshot } = tellStory(30);
    if (snapshot.world === null) throw new Error('the story has a world');
    const coil = snapshot.world.sensors['coil-a'];
    if (coil === undefined) throw new Error('the story has coil-a');
    const faults = ['stuck', 'late'].map((kind) => ({ kind, parameters: {} }));
    const world = {
      ...snapshot.world,
      sensors: { ...snapshot.world.sensors, 'coil-a': { ...coil, faults } },
      equipmentFaults: { fan: [{ kind: 'fan-dead', parameters: {} }] },
    };
    expect(standingAt(rig, { world }, 'coil-a', 'part')).toEqual([faults[0]]);
    expect(standingAt(rig, { world }, 'coil-a', 'wire')).toEqual([faults[1]]);
    expect(standingAt(rig, { world }, 'fan', 'part').map(({ kind }) => kind)).toEqual(['fan-dead']);
    expect(standingAt(rig, { world: null }, 'fan', 'part')).toEqual([]);
  });
});
