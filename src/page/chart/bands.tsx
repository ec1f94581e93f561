/** When each output was on: a bar while it was, a thin line while it was not. */
import type { History } from '../data/history.ts';
import { isCommandedOn } from '../data/outputs.ts';
import { outputText } from '../texts.ts';
import type { Snapshot } from '../types.ts';
import { stretchesOn } from './curve.ts';
import { GUTTER, type Layout } from './scales.ts';

interface BandsProps {
  readonly outputs: readonly string[];
  readonly history: History;
  readonly snapshot: Snapshot;
  readonly layout: Layout;
}

const BAR = 9;

export function Bands({ outputs, history, snapshot, layout }: BandsProps) {
  const { x, toMs } = layout;
  // Without a supervisor here, what stands at the terminals is what is known of the commands.
  const told = snapshot.supervisor === null ? history.terminals : history.commands;
  const fromMs = Math.max(layout.fromMs, history.beganAtMs ?? layout.fromMs);
  return (
    <g class="bands">
      {outputs.map((output, index) => {
        const top = layout.bandTops[index] ?? 0;
        const stretches = stretchesOn(told.get(output) ?? [], isCommandedOn(output, snapshot), fromMs, toMs);
        return (
          <g key={output}>
            <text class="lane-name" x={GUTTER - 8} y={top + BAR / 2}>
              {outputText(output)}
            </text>
            <path class="band-off" d={`M${x(fromMs)} ${top + BAR / 2}H${x(toMs)}`} />
            {stretches.map((stretch) => (
              <rect
                key={stretch.fromMs}
                class="band-on"
                x={x(stretch.fromMs)}
                y={top}
                width={x(stretch.toMs) - x(stretch.fromMs)}
                height={BAR}
              />
            ))}
          </g>
        );
      })}
    </g>
  );
}
