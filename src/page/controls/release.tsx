/** Lets gas out: one of three releases worth showing, or one's own. */
import { useSignal } from '@preact/signals';
import { endReleaseStep, type Release, releaseStep } from '../data/steps.ts';
import { useStore } from '../parts/use-store.ts';
import { placeText, T } from '../texts/index.ts';
import { Act } from './act.tsx';
import { Entry, Pick } from './field.tsx';

const NAME = 'release';
const PLACES = ['cabinet', 'room-low'] as const;
const HOW = [
  { value: 'short', word: T.releaseShort },
  { value: 'long', word: T.releaseLong },
  { value: 'whole', word: T.releaseWhole },
  { value: 'own', word: T.releaseOwn },
] as const;

export function ReleaseGas() {
  const at = useSignal<string>('cabinet');
  const how = useSignal<string>('long');
  const rate = useSignal('2 g/s');
  const lasts = useSignal('5 min');
  const chargeKg = useStore().rig.value?.chargeKg ?? 0;
  return (
    <fieldset>
      <legend>{T.releaseGas}</legend>
      <div class="deed">
        <div class="wide">
          <Pick label={T.releaseHow} value={how} of={[NAME]} options={HOW} />
        </div>
        {how.value === 'own' && (
          <>
            <Entry label={T.rate} value={rate} of={[NAME]} />
            <Entry label={T.lasts} value={lasts} of={[NAME]} />
          </>
        )}
        <div class="first">
          <Pick
            label={T.releaseAt}
            value={at}
            of={[NAME]}
            options={PLACES.map((place) => ({ value: place, word: placeText(place) }))}
          />
        </div>
        <Act
          name={NAME}
          word={T.releaseDo}
          ask={({ api }) =>
            api.step(
              releaseStep({ at: at.value, amount: amountOf(how.value, chargeKg, rate.value, lasts.value) }),
            )
          }
        />
        <Act name="end release" word={T.releaseEnd} ask={({ api }) => api.step(endReleaseStep())} />
      </div>
    </fieldset>
  );
}

/** The three are those whose course on the demo rig is worked out apart from this project. */
function amountOf(how: string, chargeKg: number, rate: string, lasts: string): Release['amount'] {
  switch (how) {
    case 'short':
      return { kind: 'rate', rate: '6 g/s', lasts: '2 min' };
    case 'long':
      return { kind: 'rate', rate: '10 g/s', lasts: '7 min' };
    case 'whole':
      return { kind: 'mass', kg: `${chargeKg} kg`, emptiesIn: '4 min' };
    default:
      return { kind: 'rate', rate, lasts };
  }
}
