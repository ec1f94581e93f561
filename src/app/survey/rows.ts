/** A survey as rows: each sensor of the plan, the field I/O, and whoever else answered. */
import type { Rig, Sensor } from '../../rig/index.ts';
import { type Difference, type Present, type Seen, whoText } from '../../survey/index.ts';

/** Texts are empty where nobody tells. */
export interface SurveyRow {
  /** null for who is not on Modbus. */
  readonly line: string | null;
  readonly unitId: number | null;
  /** null where nobody is planned. */
  readonly sensor: string | null;
  readonly place: string;
  /** As planned; `seen` tells what is there. */
  readonly profile: string;
  readonly plannedSerial: string;
  readonly who: string;
  readonly serial: string;
  readonly refrigerant: string;
  readonly setpointPercentLfl: number | null;
  readonly state: string;
  readonly gasPercentLfl: number | null;
  readonly result: Result;
  readonly differences: readonly Difference[];
}

export type Result = 'as planned' | 'differs' | 'not asked' | 'no address';

export function surveyRows(
  rig: Rig,
  sight: readonly Seen[],
  differences: readonly Difference[],
): readonly SurveyRow[] {
  const order = new Map(rig.lines.map(({ id }, index) => [id, index]));
  const place = (row: SurveyRow): number =>
    (order.get(row.line ?? '') ?? order.size) * 1000 + (row.unitId ?? 0);
  const rows = [
    ...rig.sensors.map((sensor) => sensorRow(sensor, sight, differences)),
    fieldIoRow(rig, sight, differences),
    ...strangerRows(sight, differences),
  ];
  return rows.sort((one, other) => place(one) - place(other));
}

const NOTHING_TOLD = {
  who: '',
  serial: '',
  refrigerant: '',
  setpointPercentLfl: null,
  state: '',
  gasPercentLfl: null,
} as const;

function sensorRow(sensor: Sensor, sight: readonly Seen[], differences: readonly Difference[]): SurveyRow {
  const { id, at } = sensor;
  if (sensor.kind === 'contact') {
    const wired = `contact, input ${sensor.input} of the field I/O`;
    const none = { line: null, unitId: null, plannedSerial: '', differences: [] };
    return { ...NOTHING_TOLD, ...none, sensor: id, place: at, profile: wired, result: 'no address' };
  }
  const { line, unitId } = sensor;
  const about = { line, unitId, sensor: id, place: at, profile: sensor.codec.profile.name };
  const plannedSerial = sensor.serial ?? '';
  return judged({ ...NOTHING_TOLD, ...about, plannedSerial }, spotOf(sight, line, unitId), differences);
}

function fieldIoRow(
  { fieldIo: { line, unitId } }: Rig,
  sight: readonly Seen[],
  differences: readonly Difference[],
): SurveyRow {
  const about = { line, unitId, sensor: 'the field I/O', place: '', profile: '', plannedSerial: '' };
  return judged({ ...NOTHING_TOLD, ...about }, spotOf(sight, line, unitId), differences);
}

function strangerRows(sight: readonly Seen[], differences: readonly Difference[]): readonly SurveyRow[] {
  return sight
    .filter(({ planned, found }) => {
      const answers = found.kind === 'present' || found.kind === 'garbled';
      return planned.kind === 'nobody' && answers;
    })
    .map((seen) => {
      const { line, unitId, found } = seen;
      const about = { line, unitId, sensor: null, place: '', profile: '', plannedSerial: '' };
      return {
        ...NOTHING_TOLD,
        ...about,
        ...(found.kind === 'present' ? told(found) : {}),
        result: 'differs',
        differences: differences.filter((one) => isAbout(one, line, unitId)),
      };
    });
}

/** Of nobody planned there, or of a planned one that was seen there. */
function isAbout({ sensor, alsoAt, ...at }: Difference, line: string, unitId: number): boolean {
  const where = sensor === null ? at : alsoAt;
  return where?.line === line && where.unitId === unitId;
}

function spotOf(sight: readonly Seen[], line: string, unitId: number): Seen | undefined {
  return sight.find((seen) => seen.line === line && seen.unitId === unitId);
}

function judged(
  row: Omit<SurveyRow, 'result' | 'differences'>,
  seen: Seen | undefined,
  differences: readonly Difference[],
): SurveyRow {
  if (seen === undefined) return { ...row, result: 'not asked', differences: [] };
  const own = differences.filter(({ sensor, alsoOf }) => sensor === row.sensor || alsoOf === row.sensor);
  const result = own.length === 0 ? 'as planned' : 'differs';
  return { ...row, ...(seen.found.kind === 'present' ? told(seen.found) : {}), result, differences: own };
}

function told(present: Present) {
  const { fit, serial } = present;
  const who = whoText(present);
  if (fit === null || fit.kind === 'none') return { who, serial };
  const { answer, codec } = fit;
  return {
    who,
    serial,
    refrigerant: answer.refrigerant ?? '',
    setpointPercentLfl: answer.setpointPercentLfl ?? null,
    state: codec.stateOf(answer) ?? '',
    gasPercentLfl: answer.gasPercentLfl ?? null,
  };
}

/** How many of the planned were asked, and how many of these are as planned. */
export function countOf(rows: readonly SurveyRow[]): string {
  const asked = rows.filter(
    ({ sensor, result }) => sensor !== null && ['as planned', 'differs'].includes(result),
  );
  const right = asked.filter(({ result }) => result === 'as planned').length;
  const differences = new Set(rows.flatMap((row) => row.differences)).size;
  const counted = differences === 1 ? '1 difference' : `${differences} differences`;
  return `${right} of ${asked.length} planned answer as planned, ${counted}`;
}

/** What came of it in a few words: where it differs, how. */
export function resultWords({ result, differences }: SurveyRow): string {
  return result === 'differs' ? [...new Set(differences.map(({ title }) => title))].join(', ') : result;
}
