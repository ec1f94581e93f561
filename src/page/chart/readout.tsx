/** The values of all lanes and bands at the moment pointed at, beside them or below, never over them. */
import type { History } from '../data/history.ts';
import { C } from '../texts/index.ts';
import type { Band } from './bands.tsx';
import { bandAt, sensorAt } from './moment-values.ts';
import type { PicturedRig } from './plot.tsx';
import type { Layout } from './scales.ts';
import type { Timeline } from './timeline.ts';

interface ReadoutProps {
  readonly timeline: Timeline;
  readonly rig: PicturedRig;
  readonly history: History;
  readonly bands: readonly Band[];
  readonly layout: Layout;
  readonly beside: boolean;
}

export function Readout({ timeline, rig, history, bands, layout, beside }: ReadoutProps) {
  const atMs = readMs(timeline);
  const { setpoint } = rig;
  return (
    <ul class={beside ? 'readout readout-beside' : 'readout readout-below'} aria-label={C.values}>
      <li class="readout-time figure" style={placed(beside, 2)}>
        {timeText(atMs)}
      </li>
      {rig.sensors.map((sensor, index) => {
        const { id, gas, reading, saysGas } = sensorAt(history, sensor, atMs);
        return (
          <li key={id} class="readout-sensor" style={placed(beside, layout.laneTops[index] ?? 0)}>
            <span class="readout-name">{id}</span>
            <Level word={C.truly} value={gas} setpoint={setpoint.percentLfl} />
            {sensor.kind === 'modbus' && (
              <Level word={C.reports} value={reading} setpoint={setpoint.percentLfl} />
            )}
            {sensor.kind === 'contact' && saysGas && (
              <span class="readout-level readout-above">
                <span class="readout-word">{C.reports}</span> {C.gas}
              </span>
            )}
          </li>
        );
      })}
      {bands.map((band, index) => {
        const on = bandAt(history, band, atMs);
        return (
          <li key={band.name} class="readout-band" style={placed(beside, (layout.bandTops[index] ?? 0) - 4)}>
            <span class="readout-name">{band.name}</span>
            <span class={on === true ? 'readout-on' : ''}>{on === undefined ? '?' : on ? C.on : C.off}</span>
          </li>
        );
      })}
    </ul>
  );
}

/** The moment to read: infinity is now. A window in the past without a cursor is read at its end. */
export function readMs({ cursorMs, pointerX, following, toMs, columnMs }: Timeline): number {
  const cursor = cursorMs.value;
  if (cursor === null) return following.value ? Number.POSITIVE_INFINITY : toMs.value;
  // One reading a column, however the time glides on beneath the pointer.
  return pointerX.value === null ? cursor : Math.round(cursor / columnMs.value) * columnMs.value;
}

function timeText(atMs: number): string {
  if (atMs < 0) return C.before;
  return Number.isFinite(atMs) ? C.at(atMs) : C.now;
}

function placed(beside: boolean, top: number): { readonly top: string } | undefined {
  return beside ? { top: `${top}px` } : undefined;
}

interface LevelProps {
  readonly word: string;
  readonly value: number | null | undefined;
  readonly setpoint: number;
}

function Level({ word, value, setpoint }: LevelProps) {
  const isAbove = (value ?? 0) >= setpoint;
  return (
    <span class={isAbove ? 'readout-level readout-above' : 'readout-level'}>
      <span class="readout-word">{word}</span> <span class="figure">{C.level(value)}</span>
    </span>
  );
}
