/** What a person at the equipment can do: press service reset, raise and end a fire signal. */
import { fireStep, resetStep } from '../data/steps.ts';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';
import { Act } from './act.tsx';

export function Person() {
  const fire = useStore().shown.snapshot.value?.world?.fire === true;
  return (
    <fieldset>
      <legend>{T.person}</legend>
      <div class="buttons">
        <Act name="reset" word={T.reset} ask={({ api }) => api.step(resetStep())} />
        <Act name="fire" word={fire ? T.fireOff : T.fireOn} ask={({ api }) => api.step(fireStep(!fire))} />
      </div>
    </fieldset>
  );
}
