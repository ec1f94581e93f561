/**
 * Shapes that say by form what a colour may say beside: each severity and each kind of standing has its
 * own outline, so that grey prints and colour-blind eyes lose nothing (WCAG 2.2, 1.4.1).
 */
import type { Severity } from '../../events/index.ts';

export type MarkKind = Severity | 'good' | 'wait' | 'locked';

const OUTLINES: Readonly<Record<MarkKind, string>> = {
  trace: 'M6 8h4',
  info: 'M8 5.5a2.5 2.5 0 1 0 .01 0z',
  notice: 'M3 3h10v10H3z',
  warning: 'M8 1.5 15 14H1z',
  alarm: 'M5 1h6l4 4v6l-4 4H5l-4-4V5z',
  good: 'M2.5 8.5 6.5 12.5 13.5 4',
  wait: 'M3 2h10L3 14h10z',
  locked: 'M3 7h10v7H3zM5 7V4.5a3 3 0 0 1 6 0V7',
};

/** The stroke inside the outline of what wants attention. */
const BANG = 'M8 5.5v4M8 11.5v.5';

/** The word stands beside it, always. */
export function Mark({ kind }: { readonly kind: MarkKind }) {
  return (
    <svg class={`mark mark-${kind}`} viewBox="0 0 16 16" aria-hidden="true">
      <path class="mark-outline" d={OUTLINES[kind]} />
      {(kind === 'warning' || kind === 'alarm') && <path class="mark-bang" d={BANG} />}
    </svg>
  );
}
