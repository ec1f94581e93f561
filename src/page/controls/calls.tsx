/** What the room asks of the equipment. */
import { callStep } from '../data/steps.ts';
import { OnOff } from '../parts/on-off.tsx';
import { useStore } from '../parts/use-store.ts';
import { H } from '../texts/index.ts';
import { Act } from './act.tsx';

export function Calls() {
  const calls = useStore().shown.snapshot.value?.world?.calls;
  return (
    <fieldset class="calls">
      <legend>{H.calls}</legend>
      <div class="buttons">
        {(['cooling', 'heating', 'fan'] as const).map((call) => {
          const on = calls?.[call] === true;
          return (
            <Act
              key={call}
              name={`call ${call}`}
              word={H.callNames[call]}
              pressed={on}
              weight="small"
              extra={<OnOff on={on} />}
              ask={({ api }) => api.step(callStep(call, !on))}
            />
          );
        })}
      </div>
    </fieldset>
  );
}
