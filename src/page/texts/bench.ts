/** Every word the page shows of its own, in one place. Sentences of the bench come from the bench. */
import { formatClock, formatGas } from '../../units/format.ts';
import type { Lamp, Link, MitigationPhase } from '../types.ts';
import { wholeSeconds } from './age.ts';

export const CAUTION =
  'Simulation and training only. Not a safety device, no proof of compliance. ' +
  'Follow the equipment’s instructions, local codes and licensed practice.';

/** The ring, in the order it is walked. */
export const STATIONS = {
  gas: { name: 'Gas', says: 'what is in the air' },
  sensors: { name: 'Sensors', says: 'what each one breathes' },
  wire: { name: 'Wire', says: 'what is asked and answered' },
  belief: { name: 'Belief', says: 'what the supervisor holds true' },
  mitigation: { name: 'Mitigation', says: 'what it decides' },
  commands: { name: 'Commands', says: 'what it switches' },
  equipment: { name: 'Equipment', says: 'what runs, and what is asked of it' },
} as const;

export type StationId = keyof typeof STATIONS;

/** The views, in the order they are offered. */
export const VIEW_WORDS = {
  bench: 'Bench',
  drills: 'Drills',
  class: 'Class',
  polls: 'Who asks whom',
  about: 'About',
} as const;

export type ViewId = keyof typeof VIEW_WORDS;

export const PHASES: Readonly<Record<MitigationPhase, { readonly word: string; readonly says: string }>> = {
  starting: { word: 'Starting', says: 'Not every sensor has passed its self-test.' },
  running: { word: 'Running', says: 'Nothing is wrong; calls are served.' },
  mitigating: {
    word: 'Mitigating',
    says: 'There is gas, or something is unknown. Air moves, the rest is off.',
  },
  holding: {
    word: 'Holding',
    says: 'No sensor is at the setpoint, failed or silent now. The hold must pass first.',
  },
  lockedOut: { word: 'Locked out', says: 'A person must press service reset while nothing is wrong.' },
  fire: { word: 'Fire', says: 'Everything is off, the fan too.' },
};

const STATES: Readonly<Record<string, string>> = {
  unheard: 'not heard yet',
  'warming-up': 'warming up',
  measuring: 'measuring',
  gas: 'gas',
  failed: 'failed',
};

const OUTPUTS: Readonly<Record<string, string>> = {
  fan: 'fan',
  damper: 'dampers',
  heat: 'heat',
  alarm: 'alarm',
  trouble: 'trouble',
};

const PLACES: Readonly<Record<string, string>> = {
  cabinet: 'cabinet',
  'room-low': 'room, low',
  'room-high': 'room, high',
};

const PART_NAMES: Readonly<Record<string, string>> = {
  fieldIo: 'field I/O',
  airflow: 'airflow switch',
  controller: 'controller (power only)',
  rig: 'whole rig (power only)',
};

export const LINKS: Readonly<Record<Link, string>> = {
  connecting: 'connecting',
  live: 'live',
  lost: 'no connection',
  locked: 'wants a token',
};

export const SEVERITIES = {
  trace: 'trace',
  info: 'info',
  notice: 'notice',
  warning: 'warning',
  alarm: 'alarm',
} as const;

/** What the page calls a policy limit; limits it has no word for are not shown. */
export const POLICY: Readonly<Record<string, string>> = {
  holdMs: 'Hold',
  silentAfterMs: 'Silent after',
  askWithinMs: 'Asked within',
  respondWithinMs: 'Respond within',
  fanProofWithinMs: 'Fan proven within',
  compressorMinOffMs: 'Compressor off for at least',
  resumeWithinMs: 'Serve again within',
};

export const T = {
  name: 'leakbench',
  skip: 'Skip to the view',
  loading: 'Asking the bench …',
  cautionsMore: 'All cautions',
  aboutRig: 'About this rig',
  benchTime: 'Bench time',
  paused: 'paused',
  ring: 'The ring from gas to equipment and back',
  yes: 'Yes',
  no: 'No',
  on: 'on',
  off: 'off',
  none: 'none',
  notKnown: 'not known',
  cabinet: 'Cabinet',
  room: 'Room',
  chargeLeft: 'Charge left',
  bars: (setpoint: number, times: number) =>
    `Bars end at ${formatGas(setpoint * times)}; the stroke is the setpoint.`,
  lampColours: { off: 'dark', white: 'white', green: 'green', red: 'red', yellow: 'yellow', blue: 'blue' },
  lampUnknown: 'no lamp',
  lampNotKnown: 'its lamp cannot be seen from here',
  notAnswering: 'does not answer',
  noHazard: 'nothing wrong',
  since: (atMs: number, nowMs: number) =>
    `since ${formatClock(atMs)}, for ${wholeSeconds(Math.max(0, nowMs - atMs))}`,
  terminalDiffers: (on: boolean) => `terminal stands ${on ? 'on' : 'off'}`,
  running: 'running',
  atRest: 'at rest',
  thingWords: { damper: ['open', 'closed'], heat: ['warms', 'at rest'] } as Readonly<
    Record<string, readonly [string, string]>
  >,
  worldElsewhere: 'Gas, sensors and equipment run elsewhere: only what the supervisor reads is known here.',
  supervisorUnpowered: 'The controller has no power: nobody holds anything true or decides.',
  supervisorElsewhere: 'The controller runs elsewhere: what it holds true is not known here.',
  commandsUnpowered: 'The controller has no power. This is what stands at the terminals.',
  commandsElsewhere: 'A controller elsewhere commands. This is what stands at the terminals.',
  equipmentHazards: 'The equipment',
  backToGas: 'and round again: moved air thins the gas',
  gasScale: (level: number) => `${level} %LFL`,
  railUp: 'moves the air',
  railDown: 'decides',
  chart: 'Gas against the setpoint',
  legendTrue: 'true gas',
  legendReported: 'reported reading',
  legendSetpoint: (level: number) => `setpoint ${formatGas(level)}`,
  legendClear: (level: number) => `clear below ${formatGas(level)}`,
  legendAbove: 'at or above setpoint',
  legendUnknown: 'reading not trusted',
  setpointFrom: (source: string) => `Source of the setpoint: ${source}.`,
  contactGas: 'contact: gas',
  chartSummary: (lines: readonly string[]) => `Step curves over bench time. Now: ${lines.join('; ')}.`,
  chartNow: (id: string, gas: number | null, reading: number | null) =>
    `${id} truly ${gas === null ? 'not known' : formatGas(gas)}, reports ${formatGas(reading)}`,
  events: 'Events',
  eventsNewest: 'Events, newest first',
  eventsShow: 'Show',
  eventsAll: 'all',
  eventsNotice: 'from notice',
  eventsWarning: 'from warning',
  eventsEmpty: 'Nothing has happened yet.',
  refused: 'refused',
  noConnection: 'no connection',
  recordNote: 'Nothing is recorded, so nothing is released.',
  lostNote: (ageMs: number | null) =>
    ageMs === null
      ? 'No connection to the bench. Trying again.'
      : `No connection. Values are ${wholeSeconds(ageMs)} old.`,
  warnings: (count: number) =>
    count === 1 ? '1 warning about this rig' : `${count} warnings about this rig`,
  units: 'Units',
  unitSystems: { si: 'SI', inchPound: 'inch-pound' },
  mayLookOnly: 'you may look, not change',
  viewerOnly: 'You may look, not change: this token is a viewer’s.',
  views: 'Views',
  viewLoading: 'Loading …',
  viewLost: 'This view could not be loaded. Load the page again.',
  here: 'here',
  why: 'why?',
  refrigerant: 'Refrigerant',
  charge: 'Charge of each circuit',
  lfl: (size: string, source: string) => `lower flammability limit ${size} (${source})`,
  roomSize: (floor: string, height: string, volume: string) => `${floor} floor, ${height} high, ${volume}`,
  cabinetSize: 'Cabinet volume',
  tokenHead: 'This bench wants a token',
  tokenSays: 'Whoever started the bench chose it.',
  token: 'Token of this bench',
  tokenGive: 'Open the bench',
  tokenWrong: 'The bench does not take this token.',
  noAnswer: 'The bench did not answer.',
  strangeAnswer: (status: number) => `The bench answered with status ${status}.`,
  fanSize: 'Fan',
  fanText: (airflow: string, spinUp: string) => `${airflow}, ${spinUp} to come up`,
  setpoint: 'Setpoint',
  setpointText: (level: number, clear: number, source: string) =>
    `${formatGas(level)}, clear below ${formatGas(clear)} (${source})`,
  line: (id: string) => `Line ${id}`,
  cautionLabel: 'Caution',
} as const;

/** Colour, rate and meaning in words: for those who cannot see the colour, or do not want it to flash. */
export function lampWords(lamp: Lamp | null): string {
  if (lamp === null) return T.lampUnknown;
  return `${T.lampColours[lamp.colour]}${rateWords(lamp.hz)}: ${lamp.word}`;
}

function rateWords(hz: number): string {
  if (hz === 0) return '';
  return hz >= 1 ? `, ${hz} flashes a second` : `, a flash every ${Math.round(1 / hz)} s`;
}

export function stateText(state: string): string {
  return STATES[state] ?? state;
}

/** "compressor.a" → "compressor a". */
export function outputText(output: string): string {
  return OUTPUTS[output] ?? output.replace('.', ' ');
}

export function placeText(place: string): string {
  return PLACES[place] ?? place;
}

export function partText(part: string): string {
  return PART_NAMES[part] ?? part.replaceAll('.', ' ');
}

/** 298600 → "04:59": a hold that has not passed never reads 00:00. */
export function countdown(leftMs: number): string {
  const seconds = Math.ceil(leftMs / 1000);
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${two(Math.floor(seconds / 60))}:${two(seconds % 60)}`;
}
