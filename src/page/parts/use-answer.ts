/** An answer of the bench, asked for anew whenever one of its reasons changes, or at a steady pace. */
import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Api, Got } from '../data/api.ts';
import { useStore } from './use-store.ts';

export function useAnswer<Value>(
  ask: (api: Api) => Promise<Got<Value>>,
  reasons: readonly unknown[],
  everyMs: number | null = null,
): Signal<Got<Value> | null> {
  const { api } = useStore();
  const got = useSignal<Got<Value> | null>(null);
  useEffect(() => {
    let over = false;
    const askNow = async (): Promise<void> => {
      const answer = await ask(api);
      if (!over) got.value = answer;
    };
    void askNow();
    const timer = everyMs === null ? undefined : setInterval(() => void askNow(), everyMs);
    return () => {
      over = true;
      clearInterval(timer);
    };
  }, reasons);
  return got;
}
