/** Every word of its own that the timeline shows beside those of the picture; events speak for themselves. */
import { formatClock, formatGas } from '../../units/format.ts';

export const C = {
  shown: 'Shown',
  spans: (spanMs: number) => `${spanMs / 60_000} min`,
  all: 'all',
  frame: 'Timeline: arrow keys move it, plus and minus zoom, Home and End go to its ends',
  move: 'Move and zoom the timeline',
  first: 'To the beginning',
  earlier: 'Earlier',
  longer: 'Longer stretch of time',
  shorter: 'Shorter stretch of time',
  later: 'Later',
  follow: 'Follow now',
  events: 'Step through the marked events',
  eventBefore: 'Event before',
  eventAfter: 'Event after',
  save: 'Save',
  saveAs: {
    svg: { word: 'SVG', says: 'Save the picture as a drawing, SVG' },
    png: { word: 'PNG', says: 'Save the picture as an image, PNG' },
    csv: { word: 'CSV', says: 'Save all that is kept of this run as a table, CSV' },
  },
  cursor: 'Moment on the timeline',
  now: 'now',
  before: 'before the run',
  at: (atMs: number) => formatClock(atMs),
  truly: 'true',
  reports: 'says',
  gas: 'gas',
  level: (percentLfl: number | null | undefined) =>
    percentLfl === undefined ? '?' : percentLfl === null ? 'none' : String(Math.round(percentLfl * 10) / 10),
  values: 'Values at this moment, in %LFL',
  on: 'on',
  off: 'off',
  hint: 'Point at the timeline, or move the slider below it, to read a moment. Drag to move; Ctrl and wheel, or two fingers, zoom.',
  more: (count: number) => `and ${count} more`,
  spoken: (clock: string, parts: readonly string[]) => [clock, ...parts].join('; '),
  spokenSensor: (
    id: string,
    gas: number | null | undefined,
    reading: number | null | undefined,
    saysGas: boolean,
  ) => {
    const truth = gas === undefined || gas === null ? 'not known' : formatGas(gas);
    const told = reading === undefined || reading === null ? 'no number' : formatGas(reading);
    return `${id} truly ${truth}, reports ${saysGas ? `gas, ${told}` : told}`;
  },
  spokenHighest: (id: string, gas: number, above: number, of: number) =>
    `highest true gas ${formatGas(gas)} at ${id}; ${above} of ${of} sensors report the setpoint or more`,
  spokenOn: (names: readonly string[]) => (names.length === 0 ? 'nothing on' : `${names.join(', ')} on`),
  overview: 'all kept',
  kinds: {
    gas: 'release, test gas',
    fault: 'fault put in',
    mend: 'fault mended',
    power: 'power',
    person: 'a person',
    decision: 'mitigation changed',
    fresh: 'start or stop',
    drill: 'drill',
    warning: 'warning',
    alarm: 'alarm',
  },
  sheetRange: (fromMs: number, toMs: number) => `Bench time ${formatClock(fromMs)} to ${formatClock(toMs)}`,
} as const;
