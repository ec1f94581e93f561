/** A signal's value, a few times a second at the most: what a busy bench tells in between is not drawn. */
import { effect, type ReadonlySignal, signal } from '@preact/signals';

export interface Slowly<Value> {
  readonly signal: ReadonlySignal<Value>;
  readonly stop: () => void;
}

export function slowly<Value>(source: ReadonlySignal<Value>, gapMs: number): Slowly<Value> {
  const copy = signal(source.peek());
  let lastMs = Number.NEGATIVE_INFINITY;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const take = (): void => {
    timer = undefined;
    lastMs = performance.now();
    copy.value = source.peek();
  };
  const stop = effect(() => {
    if (source.value === copy.peek() || timer !== undefined) return;
    const leftMs = lastMs + gapMs - performance.now();
    if (leftMs <= 0) take();
    else timer = setTimeout(take, leftMs);
  });
  return {
    signal: copy,
    stop: () => {
      stop();
      clearTimeout(timer);
    },
  };
}
