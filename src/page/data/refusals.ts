/** What the bench refused, kept beside the control that asked for it. */
import { type ReadonlySignal, signal } from '@preact/signals';
import type { Got } from './api.ts';

export interface Refusal {
  readonly text: string;
  /** It will not change by waiting: the token may only look, or this bench cannot do such a thing. */
  readonly lasting: boolean;
}

export interface Refusals {
  readonly all: ReadonlySignal<ReadonlyMap<string, Refusal>>;
  /** Something was refused because this token may only look: so will all else be. */
  readonly isViewer: ReadonlySignal<boolean>;
  readonly note: (control: string, answer: Got<unknown>) => void;
  /** The person changed what would be asked: it may be tried again. */
  readonly forgive: (control: string) => void;
  /** Something changed on the bench: what it refused before it may take now. */
  readonly forgiveAll: () => void;
  /** Connected anew, perhaps to another bench: nothing is refused yet. */
  readonly clear: () => void;
}

const FORBIDDEN = 403;
/** RFC 9110 section 15.5: not allowed to, or no such thing here. */
const LASTING_STATUS: readonly number[] = [401, 403, 404, 405];

export function createRefusals(): Refusals {
  const all = signal<ReadonlyMap<string, Refusal>>(new Map());
  const isViewer = signal(false);
  const without = (gone: (control: string, refusal: Refusal) => boolean): void => {
    const kept = [...all.value].filter(([control, refusal]) => !gone(control, refusal));
    if (kept.length < all.value.size) all.value = new Map(kept);
  };
  return {
    all,
    isViewer,
    note: (control, answer) => {
      without((other) => other === control);
      if (answer.ok) return;
      if (answer.status === FORBIDDEN) {
        isViewer.value = true;
        return;
      }
      const refusal = { text: answer.text, lasting: LASTING_STATUS.includes(answer.status) };
      all.value = new Map([...all.value, [control, refusal]]);
    },
    forgive: (control) => {
      without((other, refusal) => other === control && !refusal.lasting);
    },
    forgiveAll: () => {
      without((_, refusal) => !refusal.lasting);
    },
    clear: () => {
      isViewer.value = false;
      without(() => true);
    },
  };
}
