/** Answers to "why?" for what the bench does not explain itself: plain sentences from what it shows. */
import { formatDuration } from '../../units/format.ts';
import { formatSize, type UnitSystem } from '../../units/shown.ts';
import type { History } from '../data/history.ts';
import { isCommandedOn } from '../data/outputs.ts';
import { B, partText, stateText } from '../texts/index.ts';
import type { Belief, RigSensor, RigView, Snapshot, Supervisor } from '../types.ts';

export function becauseOfBelief(
  sensor: RigSensor,
  { ageMs, answering, gas, state, hazards }: Belief,
  setpoint: RigView['setpoint'],
): readonly string[] {
  const said =
    ageMs === null ? B.neverHeard(sensor.where) : B.saidLast(ageMs, sensor.where, stateText(state));
  const number = gas === null ? [] : [B.number(gas), B.against(setpoint.percentLfl, setpoint.source)];
  return [
    said,
    ...(answering ? number : [B.lastNumber]),
    ...(hazards.length === 0 && answering ? [B.nothingAgainst] : hazards.map(({ text }) => text)),
  ];
}

/** What brought the mitigation to its state, all that stands against leaving it, and where its hold is. */
export function becauseOfPhase(
  supervisor: Supervisor,
  { reason, hazards }: Pick<History, 'reason' | 'hazards'>,
  holdMs: unknown,
): readonly string[] {
  const ofSensors = Object.values(supervisor.sensors).flatMap((belief) => belief.hazards);
  const texts = new Set(
    [...ofSensors, ...hazards.filter(({ toMs }) => toMs === null)].map(({ text }) => text),
  );
  const hold = holdText(supervisor);
  const ahead = supervisor.state === 'mitigating' && hold === null && typeof holdMs === 'number';
  return [
    ...(reason === null ? [] : [B.entered(reason)]),
    ...(texts.size === 0 && supervisor.state === 'running' ? [B.nothingStands] : texts),
    ...(hold === null ? [] : [hold]),
    ...(ahead ? [B.holdBegins(formatDuration(holdMs))] : []),
  ];
}

/** How the hold stands, as a sentence; null where there is none. */
export function holdText({ holdLeftMs, holdRunning }: Supervisor): string | null {
  if (holdLeftMs === null) return null;
  if (holdLeftMs <= 0) return B.holdOver;
  return holdRunning ? B.holdRuns : B.holdWaits;
}

/** From the command to the air, and what was done to any of it. */
export function becauseOfAirflow(rig: RigView, snapshot: Snapshot, units: UnitSystem): readonly string[] {
  const { world, supervisor } = snapshot;
  if (world === null) return [];
  const meanings = new Map(rig.faultKinds.map(({ kind, meaning }) => [kind, meaning]));
  const faults = ['output.fan', 'fan', 'airflow'].flatMap((part) =>
    (world.equipmentFaults[part] ?? []).map(({ kind }) =>
      B.fault(partText(part), meanings.get(kind) ?? kind),
    ),
  );
  return [
    B.fanCommanded(isCommandedOn('fan', snapshot)),
    ...(supervisor?.commands['fan']?.because ?? []),
    B.fanTerminal(world.terminals['fan'] === true),
    B.fanMoves(formatSize(world.airflowM3PerH, 'm3PerH', units)),
    B.switchTells(world.airflowProven),
    ...faults,
  ];
}
