/** An answer of the bench, asked for anew whenever one of its reasons changes. */
import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Api, Got } from '../data/api.ts';
import { useStore } from '../parts/use-store.ts';

export function useAnswer<Value>(
  ask: (api: Api) => Promise<Got<Value>>,
  reasons: readonly unknown[],
): Signal<Got<Value> | null> {
  const { api } = useStore();
  const got = useSignal<Got<Value> | null>(null);
  useEffect(() => {
    let over = false;
    void ask(api).then((answer) => {
      if (!over) got.value = answer;
    });
    return () => {
      over = true;
    };
  }, reasons);
  return got;
}
