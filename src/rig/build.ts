/** A checked rig file becomes a Rig: every default filled in, every unit settled. */
import { basename } from 'node:path';
import { type Refrigerant, toPercentLfl, toPercentLflDifference } from '../refrigerant/index.ts';
import type { SensorCodec } from '../sensor/index.ts';
import { ms, unitId } from '../units/index.ts';
import { stopBitsFor } from './address.ts';
import type { DriftPerYear, Layers, Line, Policy, Rig, Sensor } from './rig.ts';
import type { RigFile } from './schema.ts';

/** Codecs by the profile that a sensor names; every profile of the file is among them. */
export function buildRig(
  written: RigFile,
  file: string,
  refrigerant: Refrigerant,
  codecs: ReadonlyMap<string, SensorCodec>,
): Rig {
  const firstLine = written.lines[0]?.id ?? '';
  const { service } = written;
  return {
    name: written.name ?? basename(file).replace(/(\.rig)?\.ya?ml$/u, ''),
    file,
    refrigerant,
    chargeKg: written.charge,
    room: {
      floorM2: written.room.floor,
      heightM: written.room.height,
      airChangesPerS: written.room.airChanges,
      ...(written.room.layers === undefined ? {} : { layers: layersOf(written.room.layers) }),
    },
    cabinet: { volumeM3: written.cabinet.volume, leakageM3PerS: written.cabinet.leakage },
    fan: { airflowM3PerS: written.fan.airflow, spinUpMs: ms(written.fan.spinUp) },
    circuits: written.circuits,
    heat: written.heat,
    lines: written.lines.map(lineOf),
    sensors: written.sensors.map((sensor) =>
      exposedAs(sensor, sensorOf(sensor, { firstLine, service, refrigerant, codecs })),
    ),
    fieldIo: {
      line: written.fieldIo.line ?? firstLine,
      unitId: unitId(written.fieldIo.unitId),
      watchdogMs: ms(written.fieldIo.watchdog),
    },
    policy: policyOf(written.policy, refrigerant),
  };
}

function layersOf(written: NonNullable<RigFile['room']['layers']>): Layers {
  const { low, mixing, drain, ...ways } = written;
  return { lowM: low, mixingM3PerS: mixing, drainM3PerS: drain, ...ways };
}

function lineOf(line: RigFile['lines'][number]): Line {
  return {
    id: line.id,
    listen: line.listen,
    allow: line.allow,
    pollEveryMs: ms(line.pollEvery),
    timeoutMs: ms(line.timeout),
    retries: line.retries,
    pace:
      line.pace === undefined
        ? null
        : {
            baud: line.pace.baud,
            parity: line.pace.parity,
            stopBits: stopBitsFor(line.pace.parity),
            timeoutMs: ms(line.pace.timeout),
          },
  };
}

function exposedAs({ exposure }: RigFile['sensors'][number], sensor: Sensor): Sensor {
  return exposure === undefined ? sensor : { ...sensor, exposure };
}

/** What a sensor takes from the rest of its rig. */
interface Around {
  readonly firstLine: string;
  readonly service: RigFile['service'];
  readonly refrigerant: Refrigerant;
  readonly codecs: ReadonlyMap<string, SensorCodec>;
}

function sensorOf(
  sensor: RigFile['sensors'][number],
  { firstLine, service, refrigerant, codecs }: Around,
): Sensor {
  const { id, at } = sensor;
  const common = {
    responseT90Ms: ms(sensor.responseT90),
    deadTimeMs: ms(Math.round(sensor.deadTime)),
    serial: sensor.serial ?? null,
    installed: sensor.installed ?? null,
    service: {
      part: sensor.part ?? null,
      lifeMs: ms(sensor.serviceLife ?? service.life),
      checkEveryMs: ms(sensor.checkEvery ?? service.checkEvery),
      checked: sensor.checked ?? null,
    },
  };
  if (sensor.kind === 'contact') {
    return { kind: 'contact', id, at, ...common, input: sensor.input, contact: sensor.contact };
  }
  const codec = codecs.get(sensor.profile);
  if (codec === undefined) throw new Error(`profile ${sensor.profile} was checked but not compiled`);
  return {
    kind: 'modbus',
    id,
    at,
    ...common,
    selfTestMs: ms(sensor.selfTest),
    noisePercentLfl: toPercentLfl(sensor.noise, refrigerant),
    driftPerYear: driftOf(sensor.driftPerYear, refrigerant),
    line: sensor.line ?? firstLine,
    unitId: unitId(sensor.unitId),
    codec,
    ageMs: sensor.age === undefined ? null : ms(sensor.age),
    outOfBox: sensor.outOfBox,
  };
}

type ModbusFile = Exclude<RigFile['sensors'][number], { kind: 'contact' }>;

function driftOf(written: ModbusFile['driftPerYear'], refrigerant: Refrigerant): DriftPerYear | null {
  if (written === undefined) return null;
  return { zeroPercentLfl: toPercentLflDifference(written.zero, refrigerant), spanShare: written.span };
}

function policyOf(written: RigFile['policy'], refrigerant: Refrigerant): Policy {
  return {
    setpoint: toPercentLfl(written.setpoint, refrigerant),
    clearBelow: toPercentLfl(written.clearBelow, refrigerant),
    holdMs: ms(written.hold),
    silentAfterMs: ms(written.silentAfter),
    askWithinMs: ms(written.askWithin),
    respondWithinMs: ms(written.respondWithin),
    fanProofWithinMs: ms(written.fanProofWithin),
    compressorMinOffMs: ms(written.compressorMinOff),
    resumeWithinMs: ms(written.resumeWithin),
    latchAfter:
      written.latchAfter === null
        ? null
        : { trips: written.latchAfter.trips, withinMs: ms(written.latchAfter.within) },
  };
}
