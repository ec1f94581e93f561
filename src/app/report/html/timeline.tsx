/** The drill as a picture: true gas, what each sensor answered, what was commanded, and the steps above. */

import type { Signal, Trace } from '../../../../sim/judge/trace.ts';
import type { Band } from '../../../page/chart/bands.tsx';
import { Legend } from '../../../page/chart/legend.tsx';
import type { Mark } from '../../../page/chart/marks.tsx';
import { Picture } from '../../../page/chart/picture.tsx';
import { outputsOf } from '../../../page/data/outputs.ts';
import { outputText } from '../../../page/texts/index.ts';
import { formatClock, formatGas } from '../../../units/index.ts';
import { rigView } from '../../rig-view.ts';
import { historyOf, switchesOf } from '../history-of-trace.ts';
import { stepText } from '../step-text.ts';
import type { DrillVerdict } from '../verdict.ts';
import { lettered } from './letters.ts';
import { ScrollFrame } from './scroll-frame.tsx';

/** Drawn for the width of a sheet of A4; a screen may stretch it. */
const WIDTH = 780;

interface TimelineProps {
  readonly verdict: DrillVerdict;
  readonly number: number;
}

export function Timeline({ verdict, number }: TimelineProps) {
  const { drill, trace } = verdict;
  const rig = rigView(drill.rig, [], new Map());
  return (
    <figure class="plate timeline">
      <figcaption>
        <h3>Truth, answers and commands over time</h3>
      </figcaption>
      <Legend rig={rig} />
      <ScrollFrame kind="picture" label={`Drill ${number}: timeline`}>
        <Picture
          rig={rig}
          history={historyOf(trace, drill.rig.policy)}
          bands={bandsOf(trace, outputsOf(rig))}
          marks={marksOf(verdict)}
          width={WIDTH}
          fromMs={trace.startMs}
          toMs={trace.endMs}
          summary={summaryOf(trace)}
        />
      </ScrollFrame>
      <p class="quiet">
        Dark bars are commands, pale bars inputs. Numbers are steps of the drill, letters what broke.
      </p>
      {drill.steps.length > 0 && (
        <ol class="steps">
          {drill.steps.map(({ atMs, step }, index) => (
            <li key={index}>
              <span class="step-number">{index + 1}</span>
              <span class="figure">{formatClock(trace.startMs + atMs)}</span>
              <span>{stepText(step)}</span>
            </li>
          ))}
        </ol>
      )}
    </figure>
  );
}

function bandsOf(trace: Trace, outputs: readonly string[]): readonly Band[] {
  const { inputs } = trace;
  return [
    ...outputs.map((output) => bandOf(outputText(output), 'output', trace.outputs.get(output) ?? [])),
    bandOf('airflow', 'input', inputs.get('airflow') ?? []),
    // Inputs that never came would only push the rest apart.
    ...CALLS.flatMap((call) => {
      const signal = inputs.get(`call.${call}`) ?? [];
      return signal.some(({ value }) => value) ? [bandOf(`call ${call}`, 'input', signal)] : [];
    }),
    ...everOn('fire signal', inputs.get('fire') ?? []),
    ...everOff('rig power', trace.rigPower),
    ...everOff('ctrl. power', trace.controllerPower),
  ];
}

const CALLS = ['cooling', 'heating', 'fan'] as const;

function everOn(name: string, signal: Signal<boolean>): readonly Band[] {
  return signal.some(({ value }) => value) ? [bandOf(name, 'input', signal)] : [];
}

function everOff(name: string, signal: Signal<boolean>): readonly Band[] {
  return signal.some(({ value }) => !value) ? [bandOf(name, 'input', signal)] : [];
}

function bandOf(name: string, kind: Band['kind'], signal: Signal<boolean>): Band {
  return { name, kind, switches: switchesOf(signal), onNow: signal.at(-1)?.value ?? false };
}

function marksOf({ drill, trace, rules }: DrillVerdict): readonly Mark[] {
  const steps = drill.steps.map(({ atMs }, index) => ({
    atMs: trace.startMs + atMs,
    label: String(index + 1),
    kind: 'step' as const,
  }));
  const breaches = lettered(rules).flatMap(({ rule, letter }) =>
    rule.atMs === null ? [] : [{ atMs: rule.atMs, label: letter, kind: 'breach' as const }],
  );
  return [...steps, ...breaches];
}

function summaryOf({ startMs, endMs, sensors }: Trace): string {
  const peaks = sensors.map(({ id, gas }) => {
    const peak = gas.reduce((best, change) => Math.max(best, change.value), 0);
    return `${id} at most ${formatGas(peak)}`;
  });
  return `Step curves from ${formatClock(startMs)} to ${formatClock(endMs)}. True gas: ${peaks.join('; ')}.`;
}
