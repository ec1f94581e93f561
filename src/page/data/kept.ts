/** A choice of the person's that outlives the page, where the browser lets anything be kept. */
import { type Signal, signal } from '@preact/signals';
import { ifAllowed } from './storage.ts';

export function kept<Value extends string>(
  name: string,
  values: readonly Value[],
  first: Value,
): { readonly value: Signal<Value>; readonly choose: (value: Value) => void } {
  const key = `leakbench.${name}`;
  const stored = ifAllowed(() => localStorage.getItem(key));
  const value = signal(values.find((one) => one === stored) ?? first);
  return {
    value,
    choose: (next) => {
      value.value = next;
      ifAllowed(() => {
        localStorage.setItem(key, next);
      });
    },
  };
}
