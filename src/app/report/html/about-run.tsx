/** What was run, with what, against which limits, and how to run it again. */
import { Fragment } from 'preact';
import { POLICY, T } from '../../../page/texts/index.ts';
import { formatDuration } from '../../../units/index.ts';
import { rigView } from '../../rig-view.ts';
import type { Made } from '../made.ts';
import { runAgain } from '../run-again.ts';
import type { DrillVerdict } from '../verdict.ts';
import { HOST_WORDS } from '../words.ts';

interface AboutRunProps {
  readonly verdict: DrillVerdict;
  readonly made: Made;
}

export function AboutRun({ verdict, made }: AboutRunProps) {
  return (
    <section class="plate">
      <h3>This run</h3>
      <dl class="facts">
        {[...runFacts(verdict, made), ...limits(verdict)].map(([name, text]) => (
          <Fragment key={name}>
            <dt>{name}</dt>
            <dd>{text}</dd>
          </Fragment>
        ))}
      </dl>
      <p class="again">
        Run it again: <code>{runAgain(verdict)}</code>
      </p>
    </section>
  );
}

type NamedFact = readonly [string, string];

function runFacts({ drill, trace, seed, controller, host }: DrillVerdict, made: Made): readonly NamedFact[] {
  const { rig } = drill;
  const { name, lflKgPerM3, source } = rig.refrigerant;
  return [
    ['Drill file', drill.file],
    ['Rig', `${rig.name} (${drill.rigFile})`],
    ['Controller', `${controller}, ${HOST_WORDS[host]}`],
    ['Seed', String(seed)],
    ['Length', formatDuration(trace.endMs - trace.startMs)],
    ['Versions', `leakbench ${made.version}, Node.js ${made.node}`],
    [T.refrigerant, `${name}, ${T.lfl(`${lflKgPerM3} kg/m3`, source)}`],
    [T.charge, `${rig.chargeKg} kg`],
  ];
}

function limits({ drill }: DrillVerdict): readonly NamedFact[] {
  const { setpoint, policy } = rigView(drill.rig, [], new Map());
  const times = Object.entries(POLICY).flatMap(([key, name]) => {
    const value = policy[key as keyof typeof policy];
    return typeof value === 'number' ? [[name, formatDuration(value)] as const] : [];
  });
  const { latchAfter } = drill.rig.policy;
  const latch =
    latchAfter === null ? 'off' : `${latchAfter.trips} gas trips in ${formatDuration(latchAfter.withinMs)}`;
  return [
    [T.setpoint, T.setpointText(setpoint.percentLfl, setpoint.clearBelow, setpoint.source)],
    ...times,
    ['Locked out after', latch],
  ];
}
