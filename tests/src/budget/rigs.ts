/** Rigs of many sensors, for budgets. */
import type { Rig } from '../../../src/rig/index.ts';
import { rigOf } from '../rig/rig-text.ts';

export interface LineWanted {
  /** Sensors on it. */
  readonly sensors: number;
  /** Of a gateway; null for plain TCP. */
  readonly baud: number | null;
  readonly gatewayMs?: number;
  readonly timeoutMs?: number;
  readonly pollEveryMs?: number;
  readonly retries?: number;
  readonly profile?: string;
}

export interface RigWanted {
  /** The field I/O hangs on the first; one line without sensors serves it alone. */
  readonly lines: readonly LineWanted[];
  readonly t90Ms?: number;
  /** Lines of the rig file's `policy`. */
  readonly policy?: string;
}

const FIRST_PORT = 1502;
const FIELD_IO = 200;

export function manySensors({ lines, t90Ms = 10_000, policy = '' }: RigWanted): Rig {
  const sensors = lines.flatMap((line, number) =>
    Array.from({ length: line.sensors }, (_, index) => {
      // Where the field I/O is, its address is taken.
      const unitId = number === 0 && index + 1 >= FIELD_IO ? index + 2 : index + 1;
      return `  - { id: s${number}-${index + 1}, at: cabinet, line: l${number}, unitId: ${unitId}, profile: ${line.profile ?? 'reference'}, responseT90: ${t90Ms} ms }`;
    }),
  );
  return rigOf(`rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
lines:
${lines.map(lineText).join('\n')}
sensors:
${sensors.join('\n')}
fieldIo: { line: l0, unitId: ${FIELD_IO} }
policy:
  setpoint: 20 %LFL
${policy}
`);
}

function lineText(line: LineWanted, number: number): string {
  const { baud, gatewayMs = 200, timeoutMs = 300, pollEveryMs = 1000, retries = 2 } = line;
  const pace = baud === null ? '' : `, pace: { baud: ${baud}, parity: even, timeout: ${gatewayMs} ms }`;
  const listen = `listen: ["tcp://127.0.0.1:${FIRST_PORT + number}"]`;
  const times = `pollEvery: ${pollEveryMs} ms, timeout: ${timeoutMs} ms, retries: ${retries}`;
  return `  - { id: l${number}, ${listen}, ${times}${pace} }`;
}
