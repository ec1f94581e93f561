/** A finished drill as the history that the page's picture draws from. */
import type { SensorTrace, Signal, Trace } from '../../../sim/judge/trace.ts';
import { type History, NO_HISTORY, type Point, type Switch } from '../../page/data/history.ts';
import type { Policy } from '../../rig/index.ts';
import { isGood, spansOf } from './spans.ts';

export function historyOf(trace: Trace, policy: Policy): History {
  const { startMs, endMs, sensors } = trace;
  const outputs = new Map([...trace.outputs].map(([output, signal]) => [output, switchesOf(signal)]));
  return {
    ...NO_HISTORY,
    beganAtMs: startMs,
    latestAtMs: endMs,
    gas: new Map(sensors.map((sensor) => [sensor.id, sensor.gas])),
    readings: new Map(sensors.map((sensor) => [sensor.id, readingsOf(sensor)])),
    commands: outputs,
    terminals: outputs,
    hazards: sensors.flatMap((sensor) => spansOf(sensor, policy, endMs)),
  };
}

/** Each answer's number holds until the next answer; a sensor that warms up has none. */
function readingsOf({ requests }: SensorTrace): readonly Point[] {
  const points: Point[] = [];
  for (const { answer } of requests) {
    if (answer === null) continue;
    const value = isGood(answer) ? (answer.gasPercentLfl ?? null) : null;
    if (points.at(-1)?.value !== value) points.push({ atMs: answer.atMs, value });
  }
  return points;
}

export function switchesOf(signal: Signal<boolean>): readonly Switch[] {
  return signal.map(({ atMs, value }) => ({ atMs, on: value }));
}
