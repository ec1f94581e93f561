/** Chooses one fault of a part, fills in what it takes, and puts it in. */
import { type Signal, signal, useSignal } from '@preact/signals';
import { useId, useMemo } from 'preact/hooks';
import { faultsId, type Place, standingAt } from '../data/parts.ts';
import { faultStep, mendStep } from '../data/steps.ts';
import { useStore } from '../parts/use-store.ts';
import { H, PARAMETERS } from '../texts/index.ts';
import type { FaultKind, FaultParameter } from '../types.ts';
import { Act } from './act.tsx';
import { Entry, Pick } from './field.tsx';

interface FaultFormProps {
  readonly part: string;
  readonly at: Place;
  readonly kinds: readonly FaultKind[];
  readonly name: string;
}

export function FaultForm({ part, at, kinds, name }: FaultFormProps) {
  const { rig, shown } = useStore();
  const group = useId();
  const chosen = useSignal(kinds[0]?.kind ?? '');
  const kind = kinds.find((one) => one.kind === chosen.value);
  const snapshot = shown.snapshot.value;
  if (rig.value === null || snapshot === null || kind === undefined) return null;
  return (
    <>
      <fieldset class="kinds">
        <legend class="only-heard">{name}</legend>
        {kinds.map((one) => (
          <label key={one.kind} class="kind">
            <input
              type="radio"
              name={group}
              value={one.kind}
              checked={one.kind === chosen.value}
              onChange={() => {
                chosen.value = one.kind;
              }}
            />
            <span>
              <span class="kind-name">{one.kind}</span> <span class="quiet">{one.meaning}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <KindForm key={kind.kind} part={part} at={at} kind={kind} />
      {standingAt(rig.value, snapshot, part, at).length > 1 && (
        <Act
          name={`mend ${part}`}
          word={H.mendAll}
          weight="small"
          ask={({ api }) => api.step(mendStep(part))}
        />
      )}
    </>
  );
}

interface KindFormProps {
  readonly part: string;
  readonly at: Place;
  readonly kind: FaultKind;
}

function KindForm({ part, at, kind }: KindFormProps) {
  const { hands } = useStore();
  const name = `fault ${part} ${kind.kind}`;
  const { parameters } = kind;
  const entries = useMemo(
    () => parameters.map((parameter) => ({ parameter, value: signal(beginning(parameter, part)) })),
    [kind],
  );
  const lasts = useSignal('');
  const probability = useSignal('');
  const put = () => ({
    kind: kind.kind,
    parameters: Object.fromEntries(entries.map(({ parameter, value }) => [parameter.name, value.value])),
    lasts: lasts.value,
    probability: probability.value,
  });
  return (
    <fieldset class="fields">
      <legend class="only-heard">{kind.kind}</legend>
      {entries.map(({ parameter, value }) => (
        <Parameter
          key={parameter.name}
          parameter={parameter}
          value={value}
          choices={choicesOf(parameter, part)}
          of={name}
        />
      ))}
      <Entry label={H.lasts} value={lasts} of={[name]} takes={H.lastsTakes} />
      <Entry
        label={H.probability}
        value={probability}
        of={[name]}
        takes={H.probabilityTakes(H.chances[kind.chance])}
      />
      <Act
        name={name}
        word={H.putIn}
        ask={async ({ api }) => {
          const got = await api.step(faultStep(part, put()));
          // What came of it shows beside the button, which the panel covers.
          if (got.ok) hands.giveBack(faultsId(part, at));
          return got;
        }}
      />
    </fieldset>
  );
}

interface ParameterProps {
  readonly parameter: FaultParameter;
  readonly value: Signal<string>;
  readonly choices: readonly string[] | null;
  readonly of: string;
}

function Parameter({ parameter, value, choices, of }: ParameterProps) {
  const label = PARAMETERS[parameter.name] ?? parameter.name;
  if (choices === null) {
    return <Entry label={label} value={value} of={[of]} takes={parameter.takes} />;
  }
  const none = parameter.optional ? [{ value: '', word: H.noChoice }] : [];
  return (
    <Pick
      label={label}
      value={value}
      of={[of]}
      options={[...none, ...choices.map((choice) => ({ value: choice, word: choice }))]}
    />
  );
}

/** The bench's example where it is one of the choices. */
function beginning(parameter: FaultParameter, part: string): string {
  const { example, optional } = parameter;
  const choices = choicesOf(parameter, part);
  if (choices === null || (example !== null && choices.includes(example))) return example ?? '';
  return optional ? '' : (choices[0] ?? '');
}

/** Where another part is asked for, the part itself is none. */
function choicesOf({ choices }: FaultParameter, part: string): readonly string[] | null {
  return choices?.filter((choice) => choice !== part) ?? null;
}
