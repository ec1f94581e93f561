/**
 * What a survey can find that differs from the plan: one row a kind, with its title and its sentences.
 *
 * A sentence says who is meant (sensor, unit, line), what was seen and what was planned; the advice says what
 * to do about it.
 */
import { listed } from '../text/words.ts';

/** An address of a line. */
export interface Spotted {
  readonly line: string;
  readonly unitId: number;
}

/** Where, and who is meant: null where nobody is planned there. */
interface At extends Spotted {
  readonly sensor: string | null;
}
interface OfSensor extends At {
  readonly sensor: string;
}

export type Finding =
  /** `atFactory`: the factory address of its profile, where somebody answers who may be this one. */
  | (OfSensor & { readonly kind: 'missing'; readonly atFactory: number | null; readonly noPath: boolean })
  | (At & { readonly kind: 'unexpected'; readonly who: string; readonly atFactoryOf: readonly string[] })
  | (At & { readonly kind: 'twoAtOne'; readonly how: string; readonly atFactoryOf: readonly string[] })
  | (OfSensor & {
      readonly kind: 'exchanged';
      readonly serial: string;
      readonly with: OfSensor;
      readonly otherSerial: string;
    })
  | (OfSensor & {
      readonly kind: 'otherSerial';
      readonly seen: string;
      readonly planned: string;
      /** Whose serial that is in the plan; null for nobody's. */
      readonly belongsTo: string | null;
    })
  | (OfSensor & { readonly kind: 'atFactory'; readonly seenAt: Spotted; readonly who: string })
  | (OfSensor & { readonly kind: 'elsewhere'; readonly seenAt: Spotted; readonly serial: string })
  | (OfSensor & { readonly kind: 'otherRefrigerant'; readonly seen: string; readonly planned: string })
  | (OfSensor & { readonly kind: 'otherSetpoint'; readonly seen: string; readonly planned: string })
  | (OfSensor & {
      readonly kind: 'otherTable';
      readonly seen: string;
      readonly planned: string;
      readonly profile: string;
    })
  | (OfSensor & { readonly kind: 'oneOff'; readonly by: 1 | -1; readonly profile: string })
  | (OfSensor & { readonly kind: 'unlike'; readonly who: string; readonly profile: string });

export type FindingKind = Finding['kind'];
type FindingOf<Kind extends FindingKind> = Extract<Finding, { readonly kind: Kind }>;

interface Row<Kind extends FindingKind> {
  readonly title: string;
  /** In a few words, for a column of a table. */
  readonly seen: (finding: FindingOf<Kind>) => string;
  readonly planned: (finding: FindingOf<Kind>) => string;
  readonly says: (finding: FindingOf<Kind>) => string;
  readonly advice: (finding: FindingOf<Kind>) => string;
}

const FINDINGS: { readonly [Kind in FindingKind]: Row<Kind> } = {
  missing: {
    title: 'missing',
    seen: ({ noPath }) => (noPath ? 'the gateway knows no way there' : 'nobody'),
    planned: ({ sensor }) => sensor,
    says: ({ sensor, unitId, line, atFactory, noPath }) =>
      `${sensor} is planned at unit ${unitId} of line ${line}, and ` +
      (noPath ? 'the gateway says that it knows no way there' : 'nobody answers there') +
      (atFactory === null ? '' : `; somebody who may be it answers at the factory address ${atFactory}`),
    advice: ({ sensor, atFactory, noPath }) => {
      if (noPath) return 'tell the gateway which of its ports has this unit';
      return atFactory === null
        ? `see that ${sensor} has supply and is on this line, that A and B are not exchanged, and that no other has its address (a gateway hears two at once as nobody)`
        : `leave only ${sensor} powered and give it its address (assign)`;
    },
  },
  unexpected: {
    title: 'unexpected',
    seen: ({ who }) => who,
    planned: () => 'nobody',
    says: ({ unitId, line, who, atFactoryOf }) =>
      `at unit ${unitId} of line ${line} answers ${who}; nobody is planned there` +
      (atFactoryOf.length === 0 ? '' : `, and it is the factory address of ${listed(atFactoryOf, 'or')}`),
    advice: ({ atFactoryOf }) =>
      atFactoryOf.length === 0
        ? 'add it to the rig file, or take it off the line'
        : 'read the labels; leave one of them powered and give it its address (assign)',
  },
  twoAtOne: {
    title: 'two at one address',
    seen: ({ how }) => how,
    planned: ({ sensor }) => (sensor === null ? 'nobody' : `${sensor} alone`),
    says: ({ unitId, line, sensor, how, atFactoryOf }) =>
      `what comes from unit ${unitId} of line ${line}${sensor === null ? '' : ` (${sensor})`} is never one ` +
      `sound answer (${how}): two devices seem to have that address` +
      (atFactoryOf.length === 0 ? '' : `, the factory address of ${listed(atFactoryOf, 'and')}`),
    advice: () =>
      'power them one at a time and give each its own address (assign); if it is only one, look at wiring and termination',
  },
  exchanged: {
    title: 'serials exchanged',
    seen: ({ otherSerial }) => otherSerial,
    planned: ({ serial }) => serial,
    says: ({ sensor, unitId, line, with: other, serial, otherSerial }) =>
      `${sensor} (unit ${unitId} of line ${line}, serial ${serial}) and ${other.sensor} (unit ${other.unitId} ` +
      `of line ${other.line}, serial ${otherSerial}) have each other’s address`,
    advice: ({ sensor, with: other }) =>
      `exchange the addresses of ${sensor} and ${other.sensor}, or exchange their serials in the rig file if they were mounted so on purpose`,
  },
  otherSerial: {
    title: 'another serial',
    seen: ({ seen }) => (seen === '' ? 'no serial' : seen),
    planned: ({ planned }) => planned,
    says: ({ sensor, unitId, line, seen, planned, belongsTo }) =>
      `unit ${unitId} of line ${line} has ${seen === '' ? 'no serial at all' : `serial ${seen}`}; ` +
      `${sensor} is planned there with ${planned}` +
      (belongsTo === null ? '' : `, and ${seen} is the serial of ${belongsTo}`),
    advice: ({ belongsTo }) =>
      belongsTo === null
        ? 'read the label: correct the serial in the rig file if it was replaced, or find the one that was planned'
        : `give it the address of ${belongsTo}, and find out where the planned one is`,
  },
  atFactory: {
    title: 'still at its factory address',
    seen: ({ seenAt }) => `unit ${seenAt.unitId}`,
    planned: ({ unitId }) => `unit ${unitId}`,
    says: ({ sensor, unitId, line, seenAt, who }) =>
      `${sensor} is planned at unit ${unitId} of line ${line} and still answers at its factory address ` +
      `${seenAt.unitId} (${who})`,
    advice: ({ sensor }) => `leakbench assign RIG ${sensor} gives it its address`,
  },
  elsewhere: {
    title: 'at another address',
    seen: ({ seenAt }) => `unit ${seenAt.unitId} of line ${seenAt.line}`,
    planned: ({ unitId, line }) => `unit ${unitId} of line ${line}`,
    says: ({ sensor, unitId, line, seenAt, serial }) =>
      `${sensor} (serial ${serial}) is planned at unit ${unitId} of line ${line} and answers at ` +
      `unit ${seenAt.unitId} of line ${seenAt.line}`,
    advice: ({ sensor }) => `give ${sensor} its planned address, or correct the rig file`,
  },
  otherRefrigerant: {
    title: 'another refrigerant',
    seen: ({ seen }) => seen,
    planned: ({ planned }) => planned,
    says: ({ sensor, unitId, line, seen, planned }) =>
      `${sensor} (unit ${unitId} of line ${line}) is made for ${seen === '' ? 'no refrigerant it names' : seen}; ` +
      `the rig holds ${planned}`,
    advice: ({ planned }) => `its number means another amount of gas: fit a sensor for ${planned}`,
  },
  otherSetpoint: {
    title: 'another setpoint',
    seen: ({ seen }) => seen,
    planned: ({ planned }) => planned,
    says: ({ sensor, unitId, line, seen, planned }) =>
      `${sensor} (unit ${unitId} of line ${line}) reports gas at ${seen}; planned is ${planned}`,
    advice: ({ planned }) => `set it to ${planned}, or correct the policy of the rig file`,
  },
  otherTable: {
    title: 'wrong table',
    seen: ({ seen }) => seen,
    planned: ({ planned }) => planned,
    says: ({ sensor, unitId, line, seen, planned, profile }) =>
      `${sensor} (unit ${unitId} of line ${line}) has in its ${seen} what profile ${profile} reads from its ${planned}`,
    advice: ({ seen }) => `read the ${seen}: correct the table in the profile, and in the controller`,
  },
  oneOff: {
    title: 'numbers one off',
    seen: ({ by }) => (by === 1 ? 'one register later' : 'one register earlier'),
    planned: ({ profile }) => `profile ${profile}`,
    says: ({ sensor, unitId, line, by, profile }) =>
      `${sensor} (unit ${unitId} of line ${line}) has everything one register ` +
      `${by === 1 ? 'later' : 'earlier'} than profile ${profile} says`,
    advice: () =>
      'was the list of registers counted from 1? On the wire they are counted from 0: correct the profile, and the controller',
  },
  unlike: {
    title: 'not the planned kind',
    seen: ({ who }) => who,
    planned: ({ profile }) => profile,
    says: ({ sensor, unitId, line, who, profile }) =>
      `at unit ${unitId} of line ${line} answers ${who}; ${sensor} is planned there, ${profile}`,
    advice: () => 'fit what was planned, or name its own profile in the rig file',
  },
};

/** A finding in words. */
export interface Difference {
  readonly kind: FindingKind;
  readonly title: string;
  readonly line: string;
  readonly unitId: number;
  readonly sensor: string | null;
  /** The other sensor that it speaks of just as much. */
  readonly alsoOf: string | null;
  /** Where else the sensor was seen. */
  readonly alsoAt: Spotted | null;
  readonly seen: string;
  readonly planned: string;
  readonly text: string;
  readonly advice: string;
}

export function inWords<Kind extends FindingKind>(finding: FindingOf<Kind>): Difference {
  const kind = finding.kind;
  const row: Row<Kind> = FINDINGS[kind];
  const { line, unitId, sensor } = finding;
  return {
    kind,
    title: row.title,
    line,
    unitId,
    sensor,
    alsoOf: 'with' in finding ? finding.with.sensor : null,
    alsoAt: 'seenAt' in finding ? finding.seenAt : null,
    seen: row.seen(finding),
    planned: row.planned(finding),
    text: row.says(finding),
    advice: row.advice(finding),
  };
}
