/** Whether a survey agrees that the new part is where it must be. Unknown is never agreed. */
import type { ModbusSensor, Rig } from '../../rig/index.ts';
import { compare, type Difference, inWords, type Present, serialsOf, whoText } from '../../survey/index.ts';
import type { ServiceLine } from '../service/lines.ts';
import { SILENT } from '../survey/progress.ts';
import { sightOf } from '../survey/run.ts';

export type Agreement =
  | { readonly kind: 'agrees'; readonly who: string; readonly notes: readonly string[] }
  /** As planned as far as it tells, but it tells no serial. */
  | { readonly kind: 'untold'; readonly who: string; readonly notes: readonly string[] }
  | { readonly kind: 'differs'; readonly differences: readonly Difference[] };

/** Its own address is asked, and the one that new parts come with. `planned` is the rig with the new part. */
export async function agreementOn(planned: Rig, sensor: ModbusSensor, line: ServiceLine): Promise<Agreement> {
  const { id, unitId, codec } = sensor;
  const units = [...new Set([unitId, codec.profile.factoryAddress])];
  const sight = await sightOf(planned, [line], units, SILENT);
  const differences = compare(planned, sight)
    .map((finding) => inWords(finding))
    .filter((one) => one.sensor === id || one.alsoOf === id);
  const found = sight.find((seen) => seen.unitId === unitId)?.found;
  if (differences.length > 0 || found?.kind !== 'present') return { kind: 'differs', differences };
  const isHeard = sensor.serial !== null && serialsOf(found).includes(sensor.serial);
  return { kind: isHeard ? 'agrees' : 'untold', who: whoText(found), notes: notesOn(found) };
}

/** What a part that is meant to be new says of itself, where it does not look new. */
function notesOn({ fit }: Present): readonly string[] {
  if (fit === null || fit.kind === 'none') return [];
  const { answer, codec } = fit;
  const { hours, serviceDaysLeft } = answer;
  const state = codec.stateOf(answer);
  return [
    ...(state === 'failed' ? ['it says that it failed: see why before anybody relies on it'] : []),
    ...(serviceDaysLeft === 0 || answer.serviceDue === true
      ? ['it says that its service life is over: it is no new part']
      : []),
    ...(hours !== undefined && hours > USED_HOURS ? [`it has run for ${hours} h: it is no new part`] : []),
  ];
}

/** A choice of ours, no source: more than any test of a new part takes. */
const USED_HOURS = 1000;
