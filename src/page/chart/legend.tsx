/** What the lines, fields and marks of the chart mean, and where its setpoint comes from. */
import { C, T } from '../texts/index.ts';
import type { RigView } from '../types.ts';
import { type MomentKind, SHAPES } from './moments.tsx';

/** Name of the look, shape of the key, word. */
export function legendEntries({ setpoint }: Pick<RigView, 'setpoint'>) {
  const entries: readonly (readonly [string, string, string])[] = [
    ['lane-true', 'M0 10V5h8V2h10v8z', T.legendTrue],
    ['lane-reported', 'M0 8h8V3h10', T.legendReported],
    ['lane-setpoint', 'M0 5h18', T.legendSetpoint(setpoint.percentLfl)],
    ['lane-clear', 'M0 5h18', T.legendClear(setpoint.clearBelow)],
    ['lane-above', 'M0 0h18v10H0z', T.legendAbove],
    ['lane-unknown', 'M0 0h18v10H0z', T.legendUnknown],
  ];
  return entries;
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
        {legendEntries(rig).map(([name, shape, word]) => (
          <li key={name}>
            <svg class="legend-key" viewBox="0 0 18 10" aria-hidden="true">
              <path class={name} d={shape} />
            </svg>
            {word}
          </li>
        ))}
        {kinds.map((kind) => (
          <li key={kind}>
            <svg class="legend-mark" viewBox="-8 -8 16 16" aria-hidden="true">
              <path class={`moment moment-${SEVERITY_OF[kind] ?? 'notice'}`} d={SHAPES[kind]} />
            </svg>
            {C.kinds[kind]}
          </li>
        ))}
      </ul>
      <p class="quiet">{T.setpointFrom(rig.setpoint.source)}</p>
    </div>
  );
}

const SEVERITY_OF: Partial<Record<MomentKind, string>> = { warning: 'warning', alarm: 'alarm' };
