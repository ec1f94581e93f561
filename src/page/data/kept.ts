/** A choice of the person's that outlives the page, where the browser lets anything be kept. */
import { type Signal, signal } from '@preact/signals';

/** Private windows and blocked storage throw; the choice then lasts as long as the page. */
export function kept<Value extends string>(
  name: string,
  values: readonly Value[],
  first: Value,
): { readonly value: Signal<Value>; readonly choose: (value: Value) => void } {
  const key = `leakbench.${name}`;
  let stored: string | null = null;
  try {
    stored = localStorage.getItem(key);
  } catch {
    // Nothing is kept here.
  }
  const value = signal(values.find((one) => one === stored) ?? first);
  return {
    value,
    choose: (next) => {
      value.value = next;
      try {
        localStorage.setItem(key, next);
      } catch {
        // Nothing is kept here.
      }
    },
  };
}
