/** When each output was on: a bar while it was, a thin line while it was not. */
import type { Switch } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import { stretchesOn } from './curve.ts';
import { GUTTER, type Layout } from './scales.ts';

export interface Band {
  readonly name: string;
  /** An input is drawn paler than an output: it is not what a controller decides. */
  readonly kind: 'output' | 'input';
  readonly switches: Items<Switch>;
  /** Tells what it is where it has never changed. */
  readonly onNow: boolean;
}

interface BandNamesProps {
  readonly bands: readonly Band[];
  readonly layout: Layout;
}

interface BandsProps extends BandNamesProps {
  /** Nothing is known of the time before. */
  readonly beganAtMs: number | null;
}

const BAR = 9;

export function BandNames({ bands, layout }: BandNamesProps) {
  return bands.map(({ name }, index) => (
    <text key={name} class="lane-name" x={GUTTER - 8} y={(layout.bandTops[index] ?? 0) + BAR / 2}>
      {name}
    </text>
  ));
}

export function Bands({ bands, beganAtMs, layout }: BandsProps) {
  const { x, toMs } = layout;
  const fromMs = Math.min(toMs, Math.max(layout.fromMs, beganAtMs ?? layout.fromMs));
  return (
    <g class="bands">
      {bands.map(({ name, kind, switches, onNow }, index) => {
        const top = layout.bandTops[index] ?? 0;
        return (
          <g key={name}>
            <path class="band-off" d={`M${x(fromMs)} ${top + BAR / 2}H${x(toMs)}`} />
            {stretchesOn(switches, onNow, fromMs, toMs).map((stretch) => (
              <rect
                key={stretch.fromMs}
                class={kind === 'output' ? 'band-on' : 'band-on band-input'}
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
