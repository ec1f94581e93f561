/** What the lines and fields of the chart mean, and where its setpoint comes from. */
import { T } from '../texts/index.ts';
import type { RigView } from '../types.ts';

export function Legend({ rig }: { readonly rig: RigView }) {
  const { percentLfl, clearBelow, source } = rig.setpoint;
  const entries: readonly (readonly [string, string, string])[] = [
    ['lane-true', 'M0 10V5h8V2h10v8z', T.legendTrue],
    ['lane-reported', 'M0 8h8V3h10', T.legendReported],
    ['lane-setpoint', 'M0 5h18', T.legendSetpoint(percentLfl)],
    ['lane-clear', 'M0 5h18', T.legendClear(clearBelow)],
    ['lane-above', 'M0 0h18v10H0z', T.legendAbove],
    ['lane-unknown', 'M0 0h18v10H0z', T.legendUnknown],
  ];
  return (
    <div class="legend">
      <ul>
        {entries.map(([name, shape, word]) => (
          <li key={name}>
            <svg class="legend-key" viewBox="0 0 18 10" aria-hidden="true">
              <path class={name} d={shape} />
            </svg>
            {word}
          </li>
        ))}
      </ul>
      <p class="quiet">{T.setpointFrom(source)}</p>
    </div>
  );
}
