/** Gas held at one sensor, as with a hose and a bottle. */
import { useSignal } from '@preact/signals';
import { endTestGasStep, testGasStep } from '../data/steps.ts';
import { Disclosure } from '../parts/disclosure.tsx';
import { useStore } from '../parts/use-store.ts';
import { H } from '../texts/index.ts';
import { Act } from './act.tsx';
import { Entry } from './field.tsx';

interface TestGasProps {
  readonly at: string;
  /** %LFL; null where none is held. */
  readonly held: number | null;
}

export function TestGas({ at, held }: TestGasProps) {
  const { hands } = useStore();
  return (
    <Disclosure id={`test gas ${at}`} of={hands} word={H.testGas} name={H.testGasAt(at)}>
      {() => <Form at={at} held={held} />}
    </Disclosure>
  );
}

function Form({ at, held }: TestGasProps) {
  const name = `test gas ${at}`;
  const level = useSignal('40 %LFL');
  const lasts = useSignal('30 s');
  return (
    <fieldset class="fields">
      <legend class="only-heard">{H.testGasAt(at)}</legend>
      <Entry label={H.level} value={level} of={[name]} />
      <Entry label={H.lasts} value={lasts} of={[name]} takes={H.testGasTakes} />
      <div class="buttons">
        <Act
          name={name}
          word={H.hold}
          ask={({ api }) => api.step(testGasStep(at, level.value, lasts.value))}
        />
        {held !== null && (
          <Act name={`end ${name}`} word={H.takeAway} ask={({ api }) => api.step(endTestGasStep(at))} />
        )}
      </div>
    </fieldset>
  );
}
