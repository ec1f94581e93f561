/** Every hazard as a sentence that a person can check. */
import { formatClock, formatDuration, formatGas } from '../units/index.ts';
import type { Hazard, Standing } from './hazards.ts';
import type { MitigationPolicy, SensorSituation, Situation } from './situation.ts';

type Say = (
  subject: string,
  policy: MitigationPolicy,
  sensor: SensorSituation | undefined,
  situation: Situation,
) => string;

const SENTENCES: Readonly<Record<Hazard, Say>> = {
  fire: () => 'the fire signal stands',
  gas: (id, policy, sensor) =>
    sensor?.gasNow === true
      ? `${id} reports gas (${readingOf(sensor)}; the setpoint is ${formatGas(policy.setpoint)})`
      : `${id} has reported gas and is not yet below ${formatGas(policy.clearBelow)} (${readingOf(sensor)})`,
  contradiction: (id, _, sensor) => `${id} reads ${readingOf(sensor)} while its own state says clear`,
  silent: (id, _, sensor) => `${id} has given no sound answer since ${clockOf(sensor?.silentSinceMs)}`,
  selfFailed: (id) => `${id} reports that it has failed`,
  frozen: (id) => `the measurement counter of ${id} stands still`,
  invalid: (id) => `${id} answers without a valid reading`,
  stranger: (id) => `the sensor at the address of ${id} has another serial than planned`,
  repeatedTrips: (_, { latchAfter }) => {
    // A lock-out from the record stands though the rig has since been told not to latch.
    const often =
      latchAfter === null
        ? 'too often'
        : `${latchAfter.trips} times within ${formatDuration(latchAfter.withinMs)}`;
    return `gas tripped ${often}; a person must press service reset while nothing is wrong`;
  },
  fieldIoSilent: (_, __, ___, situation) =>
    `the field I/O has not answered since ${clockOf(situation.plant.silentSinceMs)}`,
  fanNotProven: (_, policy) =>
    `the fan is commanded on and no airflow was proven within ${formatDuration(policy.fanProofWithinMs)}`,
  notSelfTested: (id) => `${id} has not yet passed its self-test`,
  compressorAgainstCommand: (output) => `${output} runs against its command`,
  commandsOverwritten: () =>
    'the commands read back are not those written: something else writes to this field I/O',
  commandsNotTaken: (_, __, ___, situation) =>
    `the field I/O answers, but has not taken all commands since ${clockOf(situation.plant.untakenSinceMs)}`,
  airflowWithoutFan: () => 'there is airflow without a fan command',
};

/** The row of the table above, with the numbers of this moment filled in. */
export function hazardSentence(standing: Standing, situation: Situation, policy: MitigationPolicy): string {
  const sensor = situation.sensors.find((one) => one.id === standing.subject);
  return SENTENCES[standing.hazard](standing.subject, policy, sensor, situation);
}

function readingOf(sensor: SensorSituation | undefined): string {
  return formatGas(sensor?.gasPercentLfl ?? null);
}

function clockOf(atMs: number | null | undefined): string {
  return atMs === null || atMs === undefined ? 'power-up' : formatClock(atMs);
}
