/** The rig's air as the gas model takes it, and where in it each place of the rig lies. */
import type { Place, Rig } from '../../src/rig/index.ts';
import type { AirPlan, Zone } from '../gas/index.ts';

export function airPlanOf({ room, cabinet, fan, refrigerant }: Rig): AirPlan {
  const roomM3 = room.floorM2 * room.heightM;
  const plan = {
    cabinetM3: cabinet.volumeM3,
    roomM3,
    leakageM3PerS: cabinet.leakageM3PerS,
    fanM3PerS: fan.airflowM3PerS,
    outsideM3PerS: room.airChangesPerS * roomM3,
    vapourKgPerM3: refrigerant.vapourKgPerM3,
  };
  if (room.layers === undefined) return plan;
  const { lowM, ...flows } = room.layers;
  return { ...plan, layers: { ...flows, lowM3: lowM * room.floorM2 } };
}

/** One well-mixed room is the same air low and high. */
export function zoneOf(place: Place, { room }: Rig): Zone {
  if (place === 'cabinet') return place;
  if (room.layers === undefined) return 'room';
  return place === 'room-low' ? 'low' : 'high';
}
