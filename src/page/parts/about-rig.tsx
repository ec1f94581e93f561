/** The rig as described: sizes, limits with their source, addresses, and what is odd about it. */
import { Fragment } from 'preact';
import { formatDuration } from '../../units/format.ts';
import { POLICY, T } from '../texts/index.ts';
import type { RigView } from '../types.ts';
import { Mark } from './mark.tsx';
import { useStore } from './use-store.ts';

export function AboutRig() {
  const rig = useStore().rig.value;
  if (rig === null) return null;
  return (
    <section class="about" aria-label={T.aboutRig}>
      {rig.warnings.length > 0 && (
        <details class="warnings">
          <summary>
            <Mark kind="warning" /> {T.warnings(rig.warnings.length)}
          </summary>
          <ul>
            {rig.warnings.map((warning) => (
              <li key={warning}>{warning}</li>
            ))}
          </ul>
        </details>
      )}
      <details>
        <summary>{T.aboutRig}</summary>
        <dl class="facts">
          {factsOf(rig).map(([name, text]) => (
            <Fragment key={name}>
              <dt>{name}</dt>
              <dd>{text}</dd>
            </Fragment>
          ))}
        </dl>
      </details>
    </section>
  );
}

function factsOf(rig: RigView): readonly (readonly [string, string])[] {
  const { refrigerant, room, cabinet, fan } = rig;
  return [
    [T.refrigerant, `${refrigerant.name}, ${T.lfl(refrigerant.lflKgPerM3, refrigerant.source)}`],
    [T.charge, `${rig.chargeKg} kg`],
    [T.room, T.roomSize(room.floorM2, room.heightM, room.volumeM3)],
    [T.cabinetSize, `${cabinet.volumeM3} m3`],
    [T.fanSize, T.fanText(fan.airflowM3PerH, formatDuration(fan.spinUpMs))],
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
