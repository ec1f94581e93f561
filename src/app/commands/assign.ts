/** `assign RIG SENSOR…`: gives sensors their planned addresses, and proves it; a dry run without --write. */
import { join } from 'node:path';
import { suggestion } from '../../files/index.ts';
import type { ModbusSensor, Rig } from '../../rig/index.ts';
import { type AssignOutcome, runAssign } from '../assign/run.ts';
import { durationOption } from '../duration-option.ts';
import { SERVICE_FOLDER } from '../record-folders.ts';
import { asStop, recordOrStop } from '../record-or-stop.ts';
import { CAUTION } from '../report/words.ts';
import { rigOrStop } from '../rig-option.ts';
import { type LineOptions, serviceLines } from '../service/lines.ts';
import { EXIT, type ExitCode, Stop } from '../stop.ts';

export interface AssignOptions extends LineOptions {
  readonly write?: true;
  readonly restart?: true;
  readonly wait: string;
  readonly data: string;
  readonly json?: true;
}

export async function assign(rigFile: string, ids: readonly string[], options: AssignOptions): Promise<void> {
  const { rig } = rigOrStop(rigFile);
  const sensors = [...new Set(ids)].map((id) => sensorOrStop(rig, id));
  const waitMs = durationOption('--wait', options.wait);
  const lines = serviceLines(rig, [...new Set(sensors.map(({ line }) => line))], options);
  const record = recordOrStop(join(options.data, SERVICE_FOLDER), rig.name);
  const interrupt = (): void => {
    record.close();
    process.exit(EXIT.interrupted);
  };
  process.once('SIGINT', interrupt).once('SIGTERM', interrupt);
  const out = options.json === true ? process.stderr : process.stdout;
  try {
    const outcomes = await runAssign({
      rig,
      sensors,
      lines,
      write: options.write === true,
      restart: options.restart === true,
      waitMs,
      say: (text) => void out.write(`${text}\n`),
      store: (fact) => void record.append([fact]),
    });
    if (options.json === true) process.stdout.write(json(rig, outcomes));
    else process.stdout.write(`${CAUTION}\n`);
    process.exitCode = exitCodeOf(outcomes);
  } catch (error) {
    // What cannot be recorded is not done.
    throw asStop(error);
  } finally {
    process.off('SIGINT', interrupt).off('SIGTERM', interrupt);
    record.close();
  }
}

function exitCodeOf(outcomes: readonly AssignOutcome[]): ExitCode {
  const last = outcomes.at(-1)?.ending;
  if (last?.kind !== 'stopped') return EXIT.held;
  return last.surroundings ? EXIT.surroundings : EXIT.broken;
}

function sensorOrStop(rig: Rig, id: string): ModbusSensor {
  const sensor = rig.sensors.find((one) => one.id === id);
  if (sensor === undefined) {
    const ids = rig.sensors.filter(({ kind }) => kind === 'modbus').map((one) => one.id);
    throw new Stop(EXIT.usage, `${rig.file} has no sensor "${id}"; ${suggestion(id, ids)}`);
  }
  if (sensor.kind === 'modbus') return sensor;
  throw new Stop(
    EXIT.usage,
    `${id} is a contact sensor on input ${sensor.input} of the field I/O: it has no address to assign`,
  );
}

function json(rig: Rig, outcomes: readonly AssignOutcome[]): string {
  const sensors = outcomes.map(({ sensor, ending, told }) => ({
    sensor: sensor.id,
    line: sensor.line,
    unitId: sensor.unitId,
    result: ending.kind,
    serial: 'serial' in ending ? ending.serial : null,
    label: 'label' in ending ? ending.label : null,
    steps: told,
  }));
  return `${JSON.stringify({ rig: rig.name, sensors, caution: CAUTION }, null, 2)}\n`;
}
