/** Things done to one part of the rig: choose it once, then act on it. */
import { useSignal } from '@preact/signals';
import { type Part, partsOf } from '../data/parts.ts';
import { cutStep, endTestGasStep, faultStep, mendStep, restoreStep, testGasStep } from '../data/steps.ts';
import { useStore } from '../parts/use-store.ts';
import { partText, T } from '../texts/index.ts';
import { Act } from './act.tsx';
import { Entry, Pick } from './field.tsx';

const CONTROLS = ['test gas', 'fault', 'mend', 'cut', 'restore'] as const;

export function OnePart() {
  const { rig } = useStore();
  const chosen = useSignal(rig.value?.sensors[0]?.id ?? '');
  if (rig.value === null) return null;
  const parts = partsOf(rig.value);
  const part = parts.find((one) => one.id === chosen.value) ?? parts[0];
  if (part === undefined) return null;
  return (
    <fieldset>
      <legend>{T.onePart}</legend>
      <div class="deed">
        <Pick
          label={T.part}
          value={chosen}
          of={CONTROLS}
          options={parts.map(({ id }) => ({ value: id, word: partText(id) }))}
        />
        {part.faults.length > 0 && (
          <Act name="mend" word={T.mend} ask={({ api }) => api.step(mendStep(part.id))} />
        )}
      </div>
      {part.isSensor && <TestGas part={part} />}
      {part.faults.length > 0 && <Faults key={part.id} part={part} />}
      {part.hasPower && <Power part={part} />}
    </fieldset>
  );
}

function TestGas({ part }: { readonly part: Part }) {
  const held = useStore().shown.snapshot.value?.world?.sensors[part.id]?.testGas;
  const isHeld = held !== null && held !== undefined;
  const level = useSignal('40 %LFL');
  const lasts = useSignal('30 s');
  return (
    <div class="deed">
      <Entry label={T.level} value={level} of={['test gas']} />
      <Entry label={T.lasts} value={lasts} of={['test gas']} hint={T.lastsHint} />
      <Act
        name="test gas"
        word={T.hold}
        ask={({ api }) => api.step(testGasStep(part.id, level.value, lasts.value))}
      />
      {isHeld && (
        <Act name="end test gas" word={T.takeAway} ask={({ api }) => api.step(endTestGasStep(part.id))} />
      )}
    </div>
  );
}

function Faults({ part }: { readonly part: Part }) {
  const kind = useSignal(part.faults[0]?.kind ?? '');
  const parameters = useSignal('');
  const lasts = useSignal('');
  return (
    <div class="deed">
      <div class="wide">
        <Pick
          label={T.fault}
          value={kind}
          of={['fault']}
          options={part.faults.map((fault) => ({ value: fault.kind, word: fault.kind }))}
        />
        <p class="quiet">{part.faults.find((fault) => fault.kind === kind.value)?.meaning}</p>
      </div>
      <Entry label={T.parameters} value={parameters} of={['fault']} hint={T.parametersHint} />
      <Entry label={T.lasts} value={lasts} of={['fault']} hint={T.lastsHint} />
      <Act
        name="fault"
        word={T.inject}
        ask={({ api }) => api.step(faultStep(part.id, kind.value, parameters.value, lasts.value))}
      />
    </div>
  );
}

function Power({ part }: { readonly part: Part }) {
  const lasts = useSignal('');
  return (
    <div class="deed">
      <Entry label={T.power} value={lasts} of={['cut']} hint={T.lastsHint} />
      <Act name="cut" word={T.cut} ask={({ api }) => api.step(cutStep(part.id, lasts.value))} />
      <Act name="restore" word={T.restore} ask={({ api }) => api.step(restoreStep(part.id))} />
    </div>
  );
}
