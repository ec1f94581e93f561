/** The signals of a trace that both hosts must agree on: what the equipment gets and sees. */
import type { Signal, Trace } from '../../sim/judge/trace.ts';

/** Two polls of the demo rig, and a time-out: a connection is made anew after a power cut. */
const APART_MS_MAX = 2300;

/** Says where two runs of one drill differ, signal by signal; empty where they agree. */
export function differences(one: Trace, other: Trace): readonly string[] {
  return [...between('output', one.outputs, other.outputs), ...between('input', one.inputs, other.inputs)];
}

function between(
  kind: string,
  one: ReadonlyMap<string, Signal<boolean>>,
  other: ReadonlyMap<string, Signal<boolean>>,
): readonly string[] {
  return [...one].flatMap(([name, signal]) => {
    const [first, second] = [settled(signal), settled(other.get(name) ?? [])];
    const values = first.map(({ value }) => value).join();
    if (values !== second.map(({ value }) => value).join()) {
      return [`${kind} ${name}: ${told(first)} against ${told(second)}`];
    }
    return first.flatMap(({ atMs }, index) => {
      const apartMs = Math.abs(atMs - (second[index]?.atMs ?? Number.NaN));
      return apartMs <= APART_MS_MAX ? [] : [`${kind} ${name} at ${atMs} ms: ${apartMs} ms apart`];
    });
  });
}

/**
 * The first value, and then each that stood for any time: what a signal was on its way elsewhere, at one and
 * the same moment, was never seen by anybody.
 */
function settled(signal: Signal<boolean>): Signal<boolean> {
  const [first] = signal;
  const stood = signal.filter(({ atMs }, index) => index > 0 && signal[index + 1]?.atMs !== atMs);
  const all = first === undefined ? stood : [first, ...stood];
  return all.filter(({ value }, index) => all[index - 1]?.value !== value);
}

function told(signal: Signal<boolean>): string {
  return signal.map(({ atMs, value }) => `${value ? 'on' : 'off'} ${atMs}`).join(', ');
}
