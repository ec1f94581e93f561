/** What the room asks of the equipment. */
import { callStep } from '../data/steps.ts';
import { OnOff } from '../parts/on-off.tsx';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';
import { Act } from './act.tsx';

export function Calls() {
  const calls = useStore().shown.snapshot.value?.world?.calls;
  return (
    <fieldset>
      <legend>{T.calls}</legend>
      <div class="buttons">
        {(['cooling', 'heating', 'fan'] as const).map((call) => {
          const on = calls?.[call] === true;
          return (
            <Act
              key={call}
              name={`call ${call}`}
              word={T.callNames[call]}
              pressed={on}
              extra={<OnOff on={on} />}
              ask={({ api }) => api.step(callStep(call, !on))}
            />
          );
        })}
      </div>
    </fieldset>
  );
}
