/**
 * What stands open on the bench: one panel of things to do, and one answer to "why?". One of each, so that
 * the picture keeps its shape and the keyboard its way.
 */
import { type ReadonlySignal, signal } from '@preact/signals';

export interface Opened {
  readonly id: ReadonlySignal<string | null>;
  readonly toggle: (id: string) => void;
  readonly open: (id: string) => void;
  readonly close: () => void;
  /** Closes a panel from within, and gives the keyboard back to the button that opened it. */
  readonly giveBack: (id: string) => void;
}

export function createOpened(): Opened {
  const id = signal<string | null>(null);
  const set = (value: string | null): void => {
    id.value = value;
  };
  return {
    id,
    toggle: (one) => {
      set(id.value === one ? null : one);
    },
    open: set,
    close: () => {
      set(null);
    },
    giveBack: (one) => {
      document.querySelector<HTMLElement>(`[data-opens="${one}"]`)?.focus();
      set(null);
    },
  };
}
