/** The faults of one part, at that part: those that stand, and a panel of all that it can have. */
import { faultsAt, faultsId, type Place, standingAt } from '../data/parts.ts';
import { mendStep } from '../data/steps.ts';
import { Disclosure } from '../parts/disclosure.tsx';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { H, parameterText, partText } from '../texts/index.ts';
import type { FaultKind, StandingFault } from '../types.ts';
import { Act } from './act.tsx';
import { FaultForm } from './fault-form.tsx';

interface FaultsProps {
  readonly of: string;
  /** On the part itself, or on its wire. */
  readonly at?: Place;
}

export function Faults({ of, at = 'part' }: FaultsProps) {
  const { rig, hands } = useStore();
  if (rig.value === null) return null;
  const kinds = faultsAt(rig.value, of, at);
  if (kinds.length === 0) return null;
  const name = H.faultsOf(at === 'wire' ? H.wireOf(partText(of)) : partText(of));
  return (
    <Disclosure id={faultsId(of, at)} of={hands} word={H.faults} name={name}>
      {() => <FaultForm key={of} part={of} at={at} kinds={kinds} name={name} />}
    </Disclosure>
  );
}

/** What was put in and not mended yet, each with its mending. */
export function Standing({ of, at = 'part' }: FaultsProps) {
  const { rig, shown } = useStore();
  const snapshot = shown.snapshot.value;
  if (rig.value === null || snapshot === null) return null;
  const standing = standingAt(rig.value, snapshot, of, at);
  if (standing.length === 0) return null;
  return (
    <ul class="standing">
      {standing.map((fault) => (
        <li key={fault.kind} class="note">
          <Mark kind="notice" />
          <span>{wordsOf(fault, rig.value?.faultKinds ?? [])}</span>
          <Act
            name={`mend ${of} ${fault.kind}`}
            word={H.mend}
            heard={H.kindOf(fault.kind, partText(of))}
            weight="small"
            ask={({ api }) => api.step(mendStep(of, fault.kind))}
          />
        </li>
      ))}
    </ul>
  );
}

function wordsOf({ kind, parameters }: StandingFault, kinds: readonly FaultKind[]): string {
  const told = kinds.find((one) => one.kind === kind)?.parameters;
  const isTime = (name: string): boolean => told?.find((one) => one.name === name)?.time === true;
  const values = Object.entries(parameters).map(([name, value]) => parameterText(name, value, isTime(name)));
  return [H.standing(kind), ...values].join(', ');
}
