/** The signals that a condition can speak of, and what may be said of each. */
import { suggestion } from '../../src/files/index.ts';
import type { Rig, Sensor } from '../../src/rig/index.ts';
import { SENSOR_STATES, type SensorState } from '../../src/sensor/index.ts';

export type SignalKind =
  | { readonly kind: 'switch' }
  | { readonly kind: 'amount' }
  | { readonly kind: 'state'; readonly states: readonly SensorState[] };

const SWITCHES = [
  'fan',
  'airflow',
  'heat',
  'damper',
  'alarm',
  'trouble',
  'call.cooling',
  'call.heating',
  'call.fan',
  'fire',
];
const COMPRESSOR = 'compressor.';

/** Every signal of a rig, by its name; no name of a rig holds a dot. */
export function signalsOf(rig: Rig): ReadonlyMap<string, SignalKind> {
  const names = [...SWITCHES, ...rig.circuits.map((circuit) => COMPRESSOR + circuit)];
  return new Map<string, SignalKind>([
    ...names.map((name) => [name, { kind: 'switch' }] as const),
    ...rig.sensors.flatMap((sensor) =>
      Object.entries(partsOf(sensor)).map(([part, signal]) => [`${sensor.id}.${part}`, signal] as const),
    ),
  ]);
}

/** A contact says gas or not, and no number; a Modbus sensor what its profile has points for. */
function partsOf(sensor: Sensor): Readonly<Record<string, SignalKind>> {
  const always = { gas: { kind: 'amount' }, answers: { kind: 'switch' } } as const;
  if (sensor.kind === 'contact') return { ...always, state: { kind: 'state', states: ['measuring', 'gas'] } };
  const { gasPercentLfl, state } = sensor.codec.profile.points;
  // A sensor without a state word has bits that say the same.
  const states = SENSOR_STATES.filter((one) => state === undefined || state.values?.[one] !== undefined);
  return {
    ...always,
    state: { kind: 'state', states },
    ...(gasPercentLfl === undefined ? {} : { reading: { kind: 'amount' } }),
  };
}

/** One sentence for a name that is no signal of the rig. */
export function noSuchSignal(name: string, rig: Rig): string {
  const [head = '', part] = split(name);
  const sensors = rig.sensors.map(({ id }) => id);
  const sensor = rig.sensors.find(({ id }) => id === head);
  if (sensor !== undefined) {
    const parts = Object.keys(partsOf(sensor)).map((one) => `${head}.${one}`);
    if (part === 'reading') return `${head} reports no number; it takes ${parts.join(', ')}`;
    return `there is no signal "${name}"; ${suggestion(name, parts)}`;
  }
  if (head === 'compressor') {
    const compressors = rig.circuits.map((circuit) => COMPRESSOR + circuit);
    return `there is no signal "${name}"; ${suggestion(name, compressors)}`;
  }
  if (['gas', 'reading', 'state', 'answers'].includes(part ?? '')) {
    return `there is no sensor "${head}"; ${suggestion(head, sensors)}`;
  }
  const known = [...SWITCHES, `${COMPRESSOR}${rig.circuits[0] ?? ''}`, `${sensors[0] ?? ''}.gas`];
  return `there is no signal "${name}"; ${suggestion(name, known)}`;
}

/** "coil-a.gas" → sensor and part; a name without a dot has no part. */
function split(name: string): readonly string[] {
  return name.split('.', 2);
}
