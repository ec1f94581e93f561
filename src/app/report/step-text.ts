/** A step of a drill in words. */
import type { Step } from '../../../sim/drill/step.ts';
import { FAULTS, parametersTold } from '../../../sim/faults/index.ts';
import { parameterValue, partText, placeText } from '../../page/texts/index.ts';
import { exactDuration, formatGas } from '../../units/index.ts';

const G_PER_KG = 1000;

export function stepText(step: Step): string {
  switch (step.kind) {
    case 'release':
      return releaseText(step);
    case 'endRelease':
      return 'the release ends';
    case 'testGas':
      return `test gas of ${formatGas(step.percentLfl)} held at ${step.sensor}, ${lasting(step.lastsMs)}`;
    case 'endTestGas':
      return `test gas taken away from ${step.sensor}`;
    case 'fault':
      return `fault ${faultText(step.fault)} in ${partText(step.in)}, ${lasting(step.lastsMs)}`;
    case 'mend':
      return `${step.faultKind === null ? 'all faults' : `fault ${step.faultKind}`} of ${partText(step.in)} mended`;
    case 'call':
      return Object.entries(step.calls)
        .map(([call, on]) => `call for ${call} ${on ? 'on' : 'off'}`)
        .join(', ');
    case 'cutPower':
      return `power to ${SUPPLIED[step.to] ?? step.to} cut, ${lasting(step.cutMs, 'until restored')}`;
    case 'restorePower':
      return `power to ${SUPPLIED[step.to] ?? step.to} restored`;
    case 'serviceReset':
      return 'a person presses service reset';
    case 'fire':
      return `fire signal ${step.on ? 'on' : 'off'}`;
    default:
      return step satisfies never;
  }
}

/** A rate that falls is told by where it begins: what is left decides on the rest. */
function releaseText({
  at,
  rateKgPerS,
  lastsMs,
  falls,
  pumpDown,
}: Extract<Step, { kind: 'release' }>): string {
  const falling = falls === undefined ? '' : ' falling with what is left,';
  const text =
    `release of ${rounded(rateKgPerS * G_PER_KG)} g/s at ${placeText(at)},${falling} ` +
    lasting(lastsMs, 'until the charge is gone');
  if (pumpDown === undefined) return text;
  return `${text}, pumped down after ${exactDuration(pumpDown.afterMs)} to ${rounded(pumpDown.share * 100)} %`;
}

const SUPPLIED: Readonly<Record<string, string>> = { controller: 'the controller', rig: 'the whole rig' };

function lasting(durationMs: number | null, forGood = 'for good'): string {
  return durationMs === null ? forGood : `for ${exactDuration(durationMs)}`;
}

/** "offset (by 5 %LFL)": parameters as the drill's author wrote them, as far as they are set. */
function faultText({ kind, parameters, probability }: Extract<Step, { kind: 'fault' }>['fault']): string {
  const values: Readonly<Record<string, unknown>> = parameters;
  const set = parametersTold(FAULTS[kind]).filter(({ name }) => values[name] !== undefined);
  const told = set.map(({ name, time }) => `${name} ${parameterValue(values[name], time)}`);
  if (probability < 1) told.push(`probability ${probability}`);
  return told.length === 0 ? kind : `${kind} (${told.join(', ')})`;
}

function rounded(value: number): number {
  return Math.round(value * 10) / 10;
}
