/** The case that a rig is to figures. */
import type { FiguresCase, Install } from '../../figures/index.ts';
import type { Rig } from '../../rig/index.ts';

const S_PER_H = 3600;

interface Told {
  readonly install: Install | null;
  /** Whether the airflow of the fan is the rig's own, not one that the bench chose. */
  readonly airflowTold: boolean;
}

export function caseOfRig(rig: Rig, { install, airflowTold }: Told): FiguresCase {
  const { room, fan, refrigerant, chargeKg, policy } = rig;
  return {
    refrigerant,
    chargeKg,
    floorM2: room.floorM2,
    heightM: room.heightM,
    outsideM3PerH: room.airChangesPerS * room.floorM2 * room.heightM * S_PER_H,
    airflowM3PerH: airflowTold ? fan.airflowM3PerS * S_PER_H : null,
    install,
    setpointPercentLfl: policy.setpoint,
  };
}
