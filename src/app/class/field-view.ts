/**
 * What a technician in the class sees and measures, from the site and the controller's own display.
 *
 * The control circuit has 24 V. Across a contact a meter shows 24 V while it is open and 0 V while it is
 * closed; from a call, a signal or an output to common it shows 24 V while that stands.
 */
import type { Site } from '../../../sim/world/index.ts';
import type { FieldView } from '../../api/class-schema.ts';
import type { SupervisorSnapshot } from '../../api/snapshot-schema.ts';
import type { Place, Rig, Sensor } from '../../rig/index.ts';
import type { Lamp, Profile } from '../../sensor/index.ts';

/** `elsewhere`: another program drives the outputs, and this bench does not see its display. */
export type Display = SupervisorSnapshot | 'elsewhere' | null;

export interface FieldSources {
  readonly rig: Rig;
  readonly site: Site;
  readonly display: Display;
  readonly clock: { readonly nowMs: number; readonly speed: number; readonly paused: boolean };
}

const CONTROL_VOLTS = 24;
const ELSEWHERE = 'The controller runs elsewhere: read its messages on the controller itself.';
/** States that have more to say than their hazards: until when they last. */
const TELLS_WHY: readonly SupervisorSnapshot['state'][] = ['mitigating', 'holding', 'lockedOut', 'fire'];

const PLACE_WORDS: Readonly<Record<Place, string>> = {
  cabinet: 'in the cabinet',
  'room-low': 'in the room, near the floor',
  'room-high': 'in the room, overhead',
};
const ONE_ROOM = '; this bench mixes the room well, so that it is the same low and high';

export function fieldView({ rig, site, display, clock }: FieldSources): FieldView {
  return {
    ...clock,
    sensors: rig.sensors.map((sensor, index) => sensorView(sensor, siteAt(site, index))),
    controller: controllerView(site, display),
    runs: {
      fan: site.fanTurns,
      air: site.airMoves,
      compressors: rig.circuits.map((id, index) => ({ id, running: site.compressorRunning[index] === true })),
      heat: site.heating,
    },
    terminals: terminalsOf(rig, site),
    portable: site.portable.map(({ at, percentLfl }) => ({
      at,
      words: portableWords(at, rig),
      percentLfl: Math.round(percentLfl * 10) / 10,
    })),
  };
}

function siteAt({ sensors }: Site, index: number): Site['sensors'][number] {
  const found = sensors[index];
  if (found === undefined) throw new RangeError(`no sensor ${index}`);
  return found;
}

function sensorView(sensor: Sensor, seen: Site['sensors'][number]): FieldView['sensors'][number] {
  const { at: place, switchedOn, lamp } = seen;
  const ours = { id: sensor.id, place, plannedPlace: sensor.at, kind: sensor.kind, lamp, switchedOn };
  if (sensor.kind === 'contact' || seen.address === null)
    return { ...ours, label: null, plan: null, legend: [] };
  const { name, lamp: code } = sensor.codec.profile;
  // A plan without a serial takes any, and then the virtual sensor carries none.
  const serial = sensor.serial ?? '';
  return {
    ...ours,
    label: { part: name, serial, address: seen.address },
    plan: { serial, address: sensor.unitId },
    legend: legendOf(code),
  };
}

/** As printed beside a lamp: each colour, rhythm and word once. */
function legendOf(code: Profile['lamp']): Lamp[] {
  const rows = Object.values(code);
  const same = (one: Lamp, other: Lamp): boolean =>
    one.colour === other.colour && one.hz === other.hz && one.word === other.word;
  return rows.filter((row, index) => rows.findIndex((other) => same(row, other)) === index);
}

function controllerView(site: Site, display: Display): FieldView['controller'] {
  if (display === 'elsewhere') {
    return { lit: site.controllerPowered, state: null, says: [ELSEWHERE], holdLeftMs: null };
  }
  if (display === null) return { lit: false, state: null, says: [], holdLeftMs: null };
  const { state, holdLeftMs } = display;
  return { lit: true, state, says: messagesOf(display), holdLeftMs };
}

/** Its hazards, each once, whatever shows them; then what it waits for. */
function messagesOf({ state, sensors, commands }: SupervisorSnapshot): string[] {
  const shown = ['alarm', 'trouble'].flatMap((lamp) => (commands[lamp]?.on ? commands[lamp].because : []));
  const ofSensors = Object.values(sensors).flatMap(({ hazards }) => hazards.map(({ text }) => text));
  const waits = TELLS_WHY.includes(state) ? (commands['fan']?.because ?? []) : [];
  return [...new Set([...shown, ...ofSensors, ...waits])];
}

type Terminal = FieldView['terminals'][number];

function terminalsOf(rig: Rig, site: Site): Terminal[] {
  const live = (id: string, words: string, on: boolean): Terminal => {
    return { id, words, volts: site.powered && on ? CONTROL_VOLTS : 0 };
  };
  const supplies = site.sensors.map(({ id, supplied }) =>
    live(`supply.${id}`, `Supply at the terminals of ${id}: 24 V where it arrives`, supplied),
  );
  const loops = rig.sensors.flatMap((sensor, index) => {
    const { contact } = siteAt(site, index);
    if (sensor.kind !== 'contact' || contact === null) return [];
    const { id, input } = sensor;
    const atInput = `Across input ${input} of the field I/O, from ${id}: 24 V where the loop is open, 0 V where it is closed`;
    const atSensor = `Across the contact of ${id}, at the sensor: 24 V where it is open, 0 V where it is closed or no voltage arrives`;
    return [
      live(`input.${id}`, atInput, !contact.inputClosed),
      live(`contact.${id}`, atSensor, contact.liveAtSensor),
    ];
  });
  const { calls } = site;
  const airflow = 'Across the airflow switch: 24 V where it is open, 0 V where it is closed by moving air';
  return [
    ...supplies,
    ...loops,
    live('call.cooling', 'Call for cooling, to common: 24 V while it stands', calls.cooling),
    live('call.heating', 'Call for heating, to common: 24 V while it stands', calls.heating),
    live('call.fan', 'Call for fan, to common: 24 V while it stands', calls.fan),
    live('airflow', airflow, !site.airflowSwitchClosed),
    live('fire', 'Fire signal, to common: 24 V while it stands', site.fire),
    ...outputsOf(rig).map(([output, words]) =>
      live(
        `output.${output}`,
        `Output ${words}, to common: 24 V while it is on`,
        site.outputs[output] === true,
      ),
    ),
  ];
}

function outputsOf({ heat, circuits }: Rig): readonly (readonly [string, string])[] {
  return [
    ['fan', 'fan'],
    ['damper', 'zone dampers'],
    ...(heat ? ([['heat', 'heat']] as const) : []),
    ...circuits.map((id) => [`compressor.${id}`, `compressor ${id}`] as const),
    ['alarm', 'alarm'],
    ['trouble', 'trouble'],
  ];
}

function portableWords(at: Place, { refrigerant, room }: Rig): string {
  const mixed = at !== 'cabinet' && room.layers === undefined ? ONE_ROOM : '';
  return `Portable detector for ${refrigerant.name}, ${PLACE_WORDS[at]}${mixed}`;
}
