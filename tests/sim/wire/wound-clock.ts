/** A clock that is wound by hand, for whatever takes an `After`. */
import type { After } from '../../../sim/wire/outlet.ts';

export function woundClock() {
  const due: { atMs: number; call: () => void }[] = [];
  let now = 0;
  const after: After = (ms, call) => {
    const one = { atMs: now + ms, call };
    due.push(one);
    return () => {
      if (due.includes(one)) due.splice(due.indexOf(one), 1);
    };
  };
  const runTo = (toMs: number): void => {
    const nextFirst = () => due.sort((one, other) => one.atMs - other.atMs);
    while ((nextFirst()[0]?.atMs ?? Infinity) <= toMs) {
      now = due[0]?.atMs ?? now;
      due.shift()?.call();
    }
    now = toMs;
  };
  return { after, due, runTo, now: () => now };
}
