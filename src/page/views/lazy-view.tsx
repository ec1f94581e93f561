/** A view whose code comes when it is first shown; what has come stays. */
import { useSignal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';
import { T } from '../texts/index.ts';

interface LazyViewProps {
  readonly load: () => Promise<ComponentType>;
}

const loaded = new Map<LazyViewProps['load'], ComponentType>();

export function LazyView({ load }: LazyViewProps) {
  const state = useSignal<'loading' | 'here' | 'lost'>(loaded.has(load) ? 'here' : 'loading');
  useEffect(() => {
    if (loaded.has(load)) return;
    load().then(
      (View) => {
        loaded.set(load, View);
        state.value = 'here';
      },
      () => {
        state.value = 'lost';
      },
    );
  }, [load, state]);
  const View = loaded.get(load);
  if (state.value === 'here' && View !== undefined) return <View />;
  return <p class="waiting">{state.value === 'lost' ? T.viewLost : T.viewLoading}</p>;
}
