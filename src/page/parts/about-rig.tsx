/** The rig as described: sizes, limits with their source, addresses, and what is odd about it. */
import { Fragment } from 'preact';
import { formatDuration } from '../../units/format.ts';
import { formatSize, type UnitSystem } from '../../units/shown.ts';
import { POLICY, T } from '../texts/index.ts';
import type { RigView } from '../types.ts';
import { Mark } from './mark.tsx';
import { useStore } from './use-store.ts';

export function AboutRig() {
  const { rig, units } = useStore();
  const { value } = rig;
  if (value === null) return null;
  return (
    <section class="about" aria-labelledby="about-head">
      <h2 id="about-head">{T.aboutRig}</h2>
      <dl class="facts">
        {factsOf(value, units.value).map(([name, text]) => (
          <Fragment key={name}>
            <dt>{name}</dt>
            <dd>{text}</dd>
          </Fragment>
        ))}
      </dl>
      {value.warnings.length > 0 && (
        <>
          <h3>
            <Mark kind="warning" /> {T.warnings(value.warnings.length)}
          </h3>
          <ul class="bullets">
            {value.warnings.map((warning) => (
              <li key={warning}>{warning}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

function factsOf(rig: RigView, units: UnitSystem): readonly (readonly [string, string])[] {
  const { refrigerant, room, cabinet, fan } = rig;
  const lfl = formatSize(refrigerant.lflKgPerM3, 'kgPerM3', units);
  const size = T.roomSize(
    formatSize(room.floorM2, 'm2', units),
    formatSize(room.heightM, 'm', units),
    formatSize(room.volumeM3, 'm3', units),
  );
  const airflow = formatSize(fan.airflowM3PerH, 'm3PerH', units);
  return [
    [T.refrigerant, `${refrigerant.name}, ${T.lfl(lfl, refrigerant.source)}`],
    [T.charge, formatSize(rig.chargeKg, 'kg', units)],
    [T.room, size],
    [T.cabinetSize, formatSize(cabinet.volumeM3, 'm3', units)],
    [T.fanSize, T.fanText(airflow, formatDuration(fan.spinUpMs))],
    [T.setpoint, T.setpointText(rig.setpoint.percentLfl, rig.setpoint.clearBelow, rig.setpoint.source)],
    ...policyOf(rig),
    ...rig.lines.map(({ id, address }) => [T.line(id), address] as const),
  ];
}

function policyOf({ policy }: RigView): readonly (readonly [string, string])[] {
  return Object.entries(POLICY).flatMap(([key, name]) => {
    const value = policy[key];
    return typeof value === 'number' ? [[name, formatDuration(value)] as const] : [];
  });
}
