/** A snapshot in which all the page can warn of is there at once. */
import type { Snapshot } from '../../../src/api/snapshot-schema.ts';

/** Something is wrong with everything that can be. */
export function troubled({ world, supervisor, ...rest }: Snapshot): Snapshot {
  if (world === null || supervisor === null) throw new Error('the story has both');
  const [a, b] = [world.sensors['coil-a'], world.sensors['coil-b']];
  if (a === undefined || b === undefined) throw new Error('the story has both coils');
  return {
    ...rest,
    recordTrouble: 'The record cannot be written: make room on the disk.',
    wire: brokenWire(rest.nowMs),
    world: {
      ...world,
      airflowProven: false,
      fire: true,
      unpowered: ['controller'],
      equipmentFaults: { fan: [{ kind: 'fan-dead', parameters: {} }] },
      terminals: { ...world.terminals, fan: false },
      sensors: {
        ...world.sensors,
        'coil-a': { ...a, testGas: 40, lamp: { colour: 'blue', hz: 0, word: 'service due' } },
        'coil-b': {
          ...b,
          faults: [{ kind: 'silent', parameters: {} }],
          lamp: { colour: 'yellow', hz: 0.5, word: 'failed' },
        },
      },
    },
    supervisor: {
      ...supervisor,
      state: 'lockedOut',
      holdLeftMs: 200_000,
      holdRunning: false,
      sensors: {
        ...supervisor.sensors,
        'coil-b': {
          state: 'measuring',
          gas: 3.2,
          ageMs: 42_000,
          answering: false,
          hazards: [{ hazard: 'silent', text: 'coil-b has not answered since 0:05:18' }],
        },
      },
      commands: { ...supervisor.commands, trouble: { on: true, because: ['coil-b has not answered'] } },
    },
  };
}

/** Each outcome there is, on the line of each unit. */
function brokenWire(nowMs: number): Snapshot['wire'] {
  const outcomes = ['answered', 'silent', 'exception', 'broken', 'waiting'] as const;
  const recent = outcomes.map((outcome, index) => ({ atMs: nowMs - 5000 + 1000 * index, outcome }));
  const names = ['coil-a', 'coil-b', 'fieldIo'];
  return { units: names.map((name, index) => ({ name, line: 'main', unitId: 11 + index, recent })) };
}
