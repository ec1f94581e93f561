/** Events as marks above the lanes: a shape for each kind, a count where many fall together. */
import type { Severity } from '../../events/index.ts';
import type { Moment } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import type { Layout } from './scales.ts';

export type MomentKind =
  | 'gas'
  | 'fault'
  | 'mend'
  | 'power'
  | 'person'
  | 'decision'
  | 'fresh'
  | 'drill'
  | 'warning'
  | 'alarm';

/** Events that are not here go by their severity. */
const KIND_OF: Readonly<Record<string, MomentKind>> = {
  'release.started': 'gas',
  'release.ended': 'gas',
  'testGas.started': 'gas',
  'testGas.ended': 'gas',
  'fault.injected': 'fault',
  'fault.mended': 'mend',
  'power.cut': 'power',
  'power.restored': 'power',
  'mitigation.changed': 'decision',
  'bench.started': 'fresh',
  'bench.stopped': 'fresh',
  'bench.reset': 'fresh',
  'supervisor.started': 'fresh',
  'supervisor.stopped': 'fresh',
  'supervisor.failed': 'alarm',
  'drill.started': 'drill',
  'drill.step': 'drill',
  'drill.ended': 'drill',
};

const KIND_OF_SEVERITY: Readonly<Record<Severity, MomentKind>> = {
  trace: 'person',
  info: 'person',
  notice: 'person',
  warning: 'warning',
  alarm: 'alarm',
};

/** Drawn around a centre, within 7 px of it. */
export const SHAPES: Readonly<Record<MomentKind, string>> = {
  gas: 'M0-7C3-3 5-1 5 2A5 5 0 0 1-5 2C-5-1-3-3 0-7Z',
  fault: 'M-5-3-3-5 0-2 3-5 5-3 2 0 5 3 3 5 0 2-3 5-5 3-2 0Z',
  mend: 'M-6 0-4-2-1 1 4-5 6-3-1 5Z',
  power: 'M2-7-5 1H-1L-2 7 5-1H1Z',
  person: 'M0-5A5 5 0 0 1 0 5A5 5 0 0 1 0-5Z',
  decision: 'M0-6 6 0 0 6-6 0Z',
  fresh: 'M-5-5H5V5H-5Z',
  drill: 'M-5-6H5L2-2 5 2H-3V7H-5Z',
  warning: 'M0-6 7 6H-7Z',
  alarm: 'M-3-6H3L6-3V3L3 6H-3L-6 3V-3Z',
};

export function kindOf({ id, severity }: Moment): MomentKind {
  return KIND_OF[id] ?? KIND_OF_SEVERITY[severity];
}

/** Grey, but for what is a warning or an alarm in any list. */
export function lookOf(kind: MomentKind): string {
  return kind === 'warning' || kind === 'alarm' ? `moment moment-${kind}` : 'moment';
}

/** Kinds of some moments, each once. */
export function kindsOf(moments: readonly Moment[]): readonly MomentKind[] {
  return [...new Set(moments.map(kindOf))];
}

/** Marks so near to each other that they share one. */
export interface Cluster {
  readonly moments: readonly Moment[];
  readonly fromMs: number;
  readonly toMs: number;
}

/** Wide enough for a finger, and for a shape with a count of two figures. */
export const MARK_WIDTH = 38;
export const MOMENTS_HEIGHT = 22;

/**
 * Joined from the oldest on, whatever is in sight: a mark does not change its company while the window
 * moves past it.
 */
export function clustersOf(moments: Items<Moment>, columnMs: number): readonly Cluster[] {
  const clusters: { moments: Moment[]; fromMs: number; toMs: number }[] = [];
  for (const moment of moments.slice()) {
    const open = clusters.at(-1);
    if (open !== undefined && moment.atMs - open.fromMs < MARK_WIDTH * columnMs) {
      open.moments.push(moment);
      open.toMs = moment.atMs;
    } else clusters.push({ moments: [moment], fromMs: moment.atMs, toMs: moment.atMs });
  }
  return clusters;
}

/** Whether a cluster's mark stands at a moment, give or take half its width. */
export function isAt({ fromMs, toMs }: Cluster, atMs: number, columnMs: number): boolean {
  const reachMs = (MARK_WIDTH / 2) * columnMs;
  return atMs > fromMs - reachMs && atMs < Math.max(toMs, fromMs + reachMs);
}

interface MomentMarksProps {
  readonly clusters: readonly Cluster[];
  readonly layout: Layout;
}

export function MomentMarks({ clusters, layout }: MomentMarksProps) {
  const middle = layout.marksHeight - MOMENTS_HEIGHT / 2;
  return (
    <g class="moments">
      {clusters
        .filter(({ fromMs, toMs }) => toMs >= layout.fromMs && fromMs <= layout.toMs)
        .map((cluster) => (
          <g key={cluster.fromMs} transform={`translate(${layout.x(cluster.fromMs)} ${middle})`}>
            <path class="moment-pole" d={`M0 9V${layout.axisTop - middle}`} />
            <ClusterMark cluster={cluster} />
          </g>
        ))}
    </g>
  );
}

const STRENGTH: readonly Severity[] = ['trace', 'info', 'notice', 'warning', 'alarm'];

function ClusterMark({ cluster: { moments } }: { readonly cluster: Cluster }) {
  const strongest = moments.reduce((best, one) =>
    STRENGTH.indexOf(one.severity) > STRENGTH.indexOf(best.severity) ? one : best,
  );
  const kind = kindOf(strongest);
  const look = lookOf(kind);
  if (moments.length === 1) return <path class={look} d={SHAPES[kind]} />;
  const isGrave = look !== 'moment';
  const wordWidth = 7 * String(moments.length).length;
  const width = 10 + wordWidth + (isGrave ? 12 : 0);
  return (
    <g class="moment-many">
      <rect class={`${look} moment-count`} x={-width / 2} y={-8} width={width} height={16} rx={3} />
      {isGrave && (
        <g transform={`translate(${10 - width / 2} 0)`}>
          <path class={look} d={SMALL_SHAPES[kind]} />
        </g>
      )}
      <text class="moment-word" x={width / 2 - 5 - wordWidth / 2} y={0}>
        {moments.length}
      </text>
    </g>
  );
}

/** Beside a count, of what must not be told by colour alone. */
const SMALL_SHAPES: Partial<Record<MomentKind, string>> = {
  warning: 'M0-4 5 4H-5Z',
  alarm: 'M-2-4H2L4-2V2L2 4H-2L-4 2V-2Z',
};
