/** What a legal rig should know of itself: published limits it goes past, and choices that can bite. */
import type { FileProblem, Locate } from '../files/index.ts';
import { serialTimes } from '../modbus/index.ts';
import { formatDuration } from '../units/index.ts';
import { COMPRESSOR_COIL_FIRST, RUNNING_INPUT_FIRST } from './field-io.ts';
import { PUBLISHED_LIMITS } from './limits.ts';
import type { Line, Pace, Rig } from './rig.ts';
import { CHECK_INTERVALS } from './service.ts';

export function warningsOf(rig: Rig, locate: Locate): readonly FileProblem[] {
  return [limitWarnings, contactWarnings, serialWarnings, checkWarnings, lineWarnings, paceWarnings].flatMap(
    (kind) => kind(rig, locate),
  );
}

function limitWarnings(rig: Rig, locate: Locate): FileProblem[] {
  return PUBLISHED_LIMITS.filter((limit) => limit.exceeds(rig)).map((limit) =>
    locate(limit.path, `${limit.says(rig)} (${limit.source})`),
  );
}

function contactWarnings(rig: Rig, locate: Locate): FileProblem[] {
  return rig.sensors.flatMap((sensor, index) =>
    sensor.kind === 'contact' && sensor.contact === 'closes-on-gas'
      ? [
          locate(
            ['sensors', index, 'contact'],
            `a broken wire of ${sensor.id} reads clear; opens-on-gas reads gas (common practice, no source)`,
          ),
        ]
      : [],
  );
}

/** No two parts have one serial: one of them was read or written wrongly. */
function serialWarnings({ sensors }: Rig, locate: Locate): FileProblem[] {
  return sensors.flatMap(({ id, serial }, index) => {
    const other = sensors.slice(0, index).find((one) => serial !== null && one.serial === serial);
    if (other === undefined) return [];
    return [locate(['sensors', index, 'serial'], `${id} and ${other.id} have the same serial, ${serial}`)];
  });
}

/** Makers may ask for more, never for less: the longest of the published intervals is the limit. */
function checkWarnings({ sensors }: Rig, locate: Locate): FileProblem[] {
  const [{ ms: longestMs, source }] = CHECK_INTERVALS;
  return sensors.flatMap(({ id, service }, index) =>
    service.checkEveryMs > longestMs
      ? [
          locate(
            ['sensors', index, 'checkEvery'],
            `${id} is checked less often than every 2 years, as published: ${source}`,
          ),
        ]
      : [],
  );
}

/** A silent sensor must be known as silent in time, though it is asked again and again before that. */
function lineWarnings(rig: Rig, locate: Locate): FileProblem[] {
  const { silentAfterMs } = rig.policy;
  return rig.lines.flatMap(({ id, timeoutMs, retries, pollEveryMs }, index) => {
    const triesMs = timeoutMs * (retries + 1);
    if (triesMs + pollEveryMs <= silentAfterMs) return [];
    const message =
      `on line ${id} one poll of a silent sensor takes ${formatDuration(triesMs)} ` +
      `(timeout × (retries + 1)); with a poll every ${formatDuration(pollEveryMs)} ` +
      `it is noticed later than silentAfter, ${formatDuration(silentAfterMs)}`;
    return [locate(['lines', index], message)];
  });
}

/** A gateway that is slower than its line is asked gives answers and exceptions that come too late. */
function paceWarnings(rig: Rig, locate: Locate): FileProblem[] {
  return rig.lines.flatMap((line, index) => {
    const { id, pace, timeoutMs, pollEveryMs } = line;
    if (pace === null) return [];
    const late =
      `the gateway of line ${id} gives up after ${formatDuration(pace.timeoutMs)}, no sooner than the ` +
      `controller waits, ${formatDuration(timeoutMs)}: its exceptions come too late`;
    const cycleMs = Math.ceil(cycleOf(rig, line, pace));
    const slow =
      `at ${pace.baud} baud one poll of all on line ${id} takes ${formatDuration(cycleMs)} or more, ` +
      `longer than pollEvery, ${formatDuration(pollEveryMs)}`;
    return [
      ...(pace.timeoutMs >= timeoutMs ? [locate(['lines', index, 'pace'], late)] : []),
      ...(cycleMs > pollEveryMs ? [locate(['lines', index, 'pollEvery'], slow)] : []),
    ];
  });
}

const US_PER_MS = 1000;
const BITS_PER_BYTE = 8;
/** Unit, function, address, quantity and checksum. */
const ASKED_BYTES = 8;
/** Unit, function, byte count and checksum around the values. */
const AROUND_VALUES_BYTES = 5;

/** How long the serial side takes to ask everything on the line once, each device answering at once. */
function cycleOf({ sensors, fieldIo, circuits }: Rig, { id }: Line, pace: Pace): number {
  const read = sensors.flatMap((sensor) =>
    sensor.kind === 'modbus' && sensor.line === id
      ? sensor.codec.reads.map(({ table, quantity }) =>
          table === 'input' || table === 'holding' ? 2 * quantity : Math.ceil(quantity / BITS_PER_BYTE),
        )
      : [],
  );
  // Inputs, both runs of commands, and the commands read back.
  const bits = [RUNNING_INPUT_FIRST, 0, 0, COMPRESSOR_COIL_FIRST].map((first) => first + circuits.length);
  const valueBytes =
    id === fieldIo.line ? [...read, ...bits.map((bit) => Math.ceil(bit / BITS_PER_BYTE))] : read;
  const { characterUs, silenceUs } = serialTimes(pace);
  const characters = valueBytes.map((bytes) => ASKED_BYTES + AROUND_VALUES_BYTES + bytes);
  return characters.reduce((sumUs, count) => sumUs + count * characterUs + 2 * silenceUs, 0) / US_PER_MS;
}
