/** Who is where: ids are unique, lines exist, no address or input is taken twice unless the rig wants it. */
import { suggestion } from '../files/index.ts';
import { formatDuration } from '../units/index.ts';
import { addressText, type BusAddress, clashes } from './address.ts';
import type { RigFile } from './schema.ts';

/** Reports what is wrong with the value at a path of the rig file. */
export type Report = (path: readonly PropertyKey[], message: string) => void;

type SensorFile = RigFile['sensors'][number];
type ModbusFile = Exclude<SensorFile, { kind: 'contact' }>;

const FIELD_IO = 'the field I/O';

export function checkReferences(written: RigFile, report: Report): void {
  reportTwins(ids(written.lines), (index) => ['lines', index, 'id'], 'line', report);
  reportTwins(written.circuits, (index) => ['circuits', index], 'circuit', report);
  reportTwins(ids(written.sensors), (index) => ['sensors', index, 'id'], 'sensor', report);
  checkListening(written, report);
  checkInputs(written, report);
  checkTimes(written, report);
  checkAddresses(written, report);
}

function ids(rows: readonly { readonly id: string }[]): readonly string[] {
  return rows.map(({ id }) => id);
}

function reportTwins(
  names: readonly string[],
  pathOf: (index: number) => readonly PropertyKey[],
  what: string,
  report: Report,
): void {
  names.forEach((name, index) => {
    if (names.indexOf(name) < index)
      report(pathOf(index), `there is a ${what} "${name}" already; choose another name`);
  });
}

function checkListening(written: RigFile, report: Report): void {
  const taken: { readonly address: BusAddress; readonly line: string }[] = [];
  written.lines.forEach((line, index) => {
    for (const address of line.listen) {
      const other = taken.find((one) => clashes(one.address, address));
      if (other !== undefined) {
        report(
          ['lines', index, 'listen'],
          `${addressText(address)} is taken by line ${other.line} already; choose another`,
        );
      }
      taken.push({ address, line: line.id });
    }
  });
}

function checkInputs(written: RigFile, report: Report): void {
  const taken = new Map<number, string>();
  written.sensors.forEach((sensor, index) => {
    if (sensor.kind !== 'contact') return;
    const other = taken.get(sensor.input);
    if (other !== undefined) {
      report(
        ['sensors', index, 'input'],
        `input ${sensor.input} is taken by ${other} already; choose another`,
      );
    }
    taken.set(sensor.input, sensor.id);
  });
}

function checkTimes(written: RigFile, report: Report): void {
  written.sensors.forEach((sensor, index) => {
    if (sensor.deadTime >= sensor.responseT90) {
      const t90 = formatDuration(sensor.responseT90);
      report(['sensors', index, 'deadTime'], `takes less than responseT90, ${t90}, which it is a part of`);
    }
    if (sensor.kind !== 'contact' && sensor.age !== undefined && sensor.installed !== undefined) {
      report(['sensors', index, 'age'], 'is told twice; write either age or installed');
    }
  });
}

function checkAddresses(written: RigFile, report: Report): void {
  const taken = new Map<string, string>();
  const ioLine = lineOf(written, written.fieldIo.line, ['fieldIo', 'line'], report);
  if (ioLine !== null) taken.set(`${ioLine} ${written.fieldIo.unitId}`, FIELD_IO);
  written.sensors.forEach((sensor, index) => {
    if (sensor.kind === 'contact') return;
    const line = lineOf(written, sensor.line, ['sensors', index, 'line'], report);
    if (line === null) return;
    const address = `${line} ${sensor.unitId}`;
    const other = taken.get(address);
    if (other !== undefined) reportShared(written, sensor, line, other, index, report);
    taken.set(address, sensor.id);
  });
}

/** The line something is on; null, and reported, where it names none of the rig's, or none among several. */
function lineOf(
  written: RigFile,
  named: string | undefined,
  path: readonly PropertyKey[],
  report: Report,
): string | null {
  const lines = [...new Set(ids(written.lines))];
  if (named !== undefined && lines.includes(named)) return named;
  if (named !== undefined) report(path, `there is no line "${named}"; ${suggestion(named, lines)}`);
  else if (lines.length > 1) report(path, `is missing; of several lines it takes one: ${lines.join(', ')}`);
  else return lines[0] ?? null;
  return null;
}

function reportShared(
  written: RigFile,
  sensor: ModbusFile,
  line: string,
  other: string,
  index: number,
  report: Report,
): void {
  const mayShow = other !== FIELD_IO;
  if (mayShow && written.sharedAddresses === 'allowed') return;
  const advice = mayShow ? ', or write "sharedAddresses: allowed" to show what comes of it' : '';
  report(
    ['sensors', index, 'unitId'],
    `${sensor.id} and ${other} are both at address ${sensor.unitId} of line ${line}; ` +
      `give one of them another address${advice}`,
  );
}
