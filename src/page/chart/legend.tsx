/** What the lines, fields and marks of the chart mean, and where its setpoint comes from. */
import { C, T } from '../texts/index.ts';
import type { RigView } from '../types.ts';
import { lookOf, type MomentKind, SHAPES } from './moments.tsx';

export interface Key {
  /** Its classes. */
  readonly look: string;
  readonly shape: string;
  readonly word: string;
  /** Drawn around a middle, as marks are. */
  readonly mark: boolean;
}

export function legendEntries({ setpoint }: Pick<RigView, 'setpoint'>): readonly Key[] {
  const entries: readonly (readonly [string, string, string])[] = [
    ['lane-true', 'M0 10V5h8V2h10v8z', T.legendTrue],
    ['lane-reported', 'M0 8h8V3h10', T.legendReported],
    ['lane-setpoint', 'M0 5h18', T.legendSetpoint(setpoint.percentLfl)],
    ['lane-clear', 'M0 5h18', T.legendClear(setpoint.clearBelow)],
    ['lane-above', 'M0 0h18v10H0z', T.legendAbove],
    ['lane-unknown', 'M0 0h18v10H0z', T.legendUnknown],
  ];
  return entries.map(([look, shape, word]) => ({ look, shape, word, mark: false }));
}

export function markEntries(kinds: readonly MomentKind[]): readonly Key[] {
  return kinds.map((kind) => ({ look: lookOf(kind), shape: SHAPES[kind], word: C.kinds[kind], mark: true }));
}

interface LegendProps {
  readonly rig: Pick<RigView, 'setpoint'>;
  /** Kinds of marks that the picture shows. */
  readonly kinds?: readonly MomentKind[];
}

export function Legend({ rig, kinds = [] }: LegendProps) {
  return (
    <div class="legend">
      <ul>
        {[...legendEntries(rig), ...markEntries(kinds)].map(({ look, shape, word, mark }) => (
          <li key={word}>
            <svg
              class={mark ? 'legend-mark' : 'legend-key'}
              viewBox={mark ? '-8 -8 16 16' : '0 0 18 10'}
              aria-hidden="true"
            >
              <path class={look} d={shape} />
            </svg>
            {word}
          </li>
        ))}
      </ul>
      <p class="quiet">{T.setpointFrom(rig.setpoint.source)}</p>
    </div>
  );
}
