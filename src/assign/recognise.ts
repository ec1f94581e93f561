/** Whether who answers at an address is the sensor that is meant. Unknown is never right. */
import type { ModbusSensor } from '../rig/index.ts';
import { type Found, type Present, whoText } from '../survey/index.ts';
import type { UnitId } from '../units/index.ts';

export type Recognised =
  | {
      readonly kind: 'right';
      readonly present: Present;
      /** Empty where it does not tell. */
      readonly serial: string;
      /** Its serial is the planned one; false where plan or profile have none. */
      readonly checked: boolean;
    }
  | {
      readonly kind: 'wrong';
      readonly reason: string;
      readonly advice: string;
      readonly surroundings: boolean;
    };

interface Meant {
  readonly sensor: ModbusSensor;
  readonly planned: readonly ModbusSensor[];
}

export function recognise(meant: Meant, found: Exclude<Found, { kind: 'silent' }>, at: UnitId): Recognised {
  switch (found.kind) {
    case 'noPath':
      return {
        kind: 'wrong',
        reason: `the gateway knows no way to unit ${at}`,
        advice: 'tell the gateway which of its ports has this unit',
        surroundings: true,
      };
    case 'garbled':
      return {
        kind: 'wrong',
        reason: `what comes from unit ${at} is never one sound answer (${found.how}): two seem to be there`,
        advice: 'leave power to one of them alone',
        surroundings: false,
      };
    case 'present':
      return recognisePresent(meant, found, at);
  }
}

function recognisePresent({ sensor, planned }: Meant, present: Present, at: UnitId): Recognised {
  const { fit, identity } = present;
  const { name, points } = sensor.codec.profile;
  if (fit?.kind !== 'profile' || fit.codec.profile.name !== name) {
    return wrong(
      at,
      `${whoText(present)}, and not as profile ${name} has it`,
      `survey the line to see who it is`,
    );
  }
  const tells = points.serial !== undefined;
  const serial = tells ? present.serial : (identity?.own ?? '');
  if (sensor.serial === serial && serial !== '') return { kind: 'right', present, serial, checked: true };
  const owner = planned.find((one) => one.id !== sensor.id && one.serial !== null && one.serial === serial);
  if (owner !== undefined) {
    return wrong(
      at,
      `serial ${serial}, which is ${owner.id}`,
      `give power to ${sensor.id} instead, or assign ${owner.id}`,
    );
  }
  if (!tells || sensor.serial === null) {
    return { kind: 'right', present, serial: tells ? serial : '', checked: false };
  }
  const seen = serial === '' ? 'a sensor that tells no serial' : `serial ${serial}`;
  return wrong(
    at,
    `${seen}; ${sensor.id} has ${sensor.serial} in the plan`,
    'read the label, and correct the rig file if it was replaced',
  );
}

function wrong(at: UnitId, who: string, advice: string): Recognised {
  return { kind: 'wrong', reason: `at unit ${at} answers ${who}`, advice, surroundings: false };
}
