/**
 * Who answers where nobody is planned, and who of the missing that may be. A stranger that is found to be a
 * missing sensor is told of once, with that sensor.
 */
import type { ModbusSensor, Rig } from '../rig/index.ts';
import type { Finding } from './finding.ts';
import type { Present, Seen } from './look.ts';
import { serialsOf } from './serials.ts';
import { modbusSensors } from './spot.ts';
import { whoText } from './who.ts';

interface Stranger {
  readonly seen: Seen;
  readonly present: Present;
}

export class Strangers {
  readonly #rig: Rig;
  readonly #sight: readonly Seen[];
  readonly #strangers: readonly Stranger[];
  readonly #recognised = new Set<Stranger>();

  constructor(rig: Rig, sight: readonly Seen[]) {
    this.#rig = rig;
    this.#sight = sight;
    this.#strangers = sight.flatMap((seen) =>
      seen.planned.kind === 'nobody' && seen.found.kind === 'present' ? [{ seen, present: seen.found }] : [],
    );
  }

  /** Of one that nobody answers for: found elsewhere by its serial, at its factory address, or missing. */
  absence(sensor: ModbusSensor, noPath: boolean): Finding {
    const { line, unitId, id, serial } = sensor;
    const of = { line, unitId, sensor: id };
    const { factoryAddress: factory, name } = sensor.codec.profile;
    const bySerial = this.#strangers.find(
      ({ present }) => serial !== null && serialsOf(present).includes(serial),
    );
    const atFactory = this.#strangers.find(({ seen }) => seen.line === line && seen.unitId === factory);
    const mayBe = atFactory !== undefined && isPerhaps(sensor, atFactory.present);
    const rivals = this.#missingOn(line).filter(({ codec }) => codec.profile.name === name);
    const certain = bySerial ?? (mayBe && rivals.length === 1 ? atFactory : undefined);
    if (certain === undefined) {
      return { kind: 'missing', ...of, atFactory: mayBe ? factory : null, noPath };
    }
    this.#recognised.add(certain);
    const seenAt = { line: certain.seen.line, unitId: certain.seen.unitId };
    return seenAt.line === line && seenAt.unitId === factory
      ? { kind: 'atFactory', ...of, seenAt, who: whoText(certain.present) }
      : { kind: 'elsewhere', ...of, seenAt, serial: serial ?? '' };
  }

  /** Whoever is left; ask once every absence was asked for. */
  left(): readonly Finding[] {
    const garbled = this.#sight.flatMap(({ line, unitId, planned, found }): readonly Finding[] => {
      if (planned.kind !== 'nobody' || found.kind !== 'garbled') return [];
      const atFactoryOf = this.#missingOn(line)
        .filter(isFrom(unitId))
        .map(({ id }) => id);
      return [{ kind: 'twoAtOne', line, unitId, sensor: null, how: found.how, atFactoryOf }];
    });
    const unexpected = this.#strangers
      .filter((stranger) => !this.#recognised.has(stranger))
      .map(({ seen: { line, unitId }, present }): Finding => {
        const mayBe = this.#missingOn(line).filter(isFrom(unitId));
        const atFactoryOf = mayBe.filter((sensor) => isPerhaps(sensor, present)).map(({ id }) => id);
        return { kind: 'unexpected', line, unitId, sensor: null, who: this.#whoIs(present), atFactoryOf };
      });
    return [...garbled, ...unexpected];
  }

  #missingOn(line: string): readonly ModbusSensor[] {
    return this.#sight
      .filter((seen) => seen.line === line && (seen.found.kind === 'silent' || seen.found.kind === 'noPath'))
      .flatMap(({ planned }) => (planned.kind === 'sensors' ? planned.sensors : []));
  }

  #whoIs(present: Present): string {
    const serials = serialsOf(present);
    const owner = modbusSensors(this.#rig).find(({ serial }) => serial !== null && serials.includes(serial));
    return owner === undefined ? whoText(present) : `${whoText(present)}, which is the serial of ${owner.id}`;
  }
}

function isFrom(unitId: number): (sensor: ModbusSensor) => boolean {
  return ({ codec }) => codec.profile.factoryAddress === unitId;
}

/** Of the right make, and nothing is known that says it is somebody else. */
function isPerhaps(sensor: ModbusSensor, { fit, serial }: Present): boolean {
  const isMake = fit !== null && fit.kind !== 'none' && fit.codec.profile.name === sensor.codec.profile.name;
  return isMake && (serial === '' || sensor.serial === null);
}
