/** Lets gas out: one of three releases worth showing, or one's own. */
import { useSignal } from '@preact/signals';
import { formatSize } from '../../units/shown.ts';
import { endReleaseStep, type Release, releaseStep } from '../data/steps.ts';
import { useStore } from '../parts/use-store.ts';
import { H, placeText } from '../texts/index.ts';
import { Act } from './act.tsx';
import { Entry, Pick } from './field.tsx';

const NAME = 'release';

/** The three are those whose course on the demo rig is worked out apart from this project. */
const SHORT = { gPerS: 6, lasts: '2 min' } as const;
const LONG = { gPerS: 10, lasts: '7 min' } as const;
const WHOLE_EMPTIES_IN = '4 min';

export function ReleaseGas() {
  const { rig, shown, units } = useStore();
  const at = useSignal<string>('cabinet');
  const how = useSignal<string>('whole');
  const rate = useSignal('2 g/s');
  const lasts = useSignal('5 min');
  const flows = (shown.snapshot.value?.world?.releaseGPerS ?? 0) > 0;
  const rated = ({ gPerS, lasts: time }: typeof SHORT | typeof LONG): string =>
    H.releaseRate(formatSize(gPerS, 'gPerS', units.value), time);
  return (
    <fieldset class="release">
      <legend class="only-heard">{H.releaseGas}</legend>
      <Pick
        label={H.releaseHow}
        value={how}
        of={[NAME]}
        options={[
          { value: 'whole', word: H.releaseWhole },
          { value: 'long', word: rated(LONG) },
          { value: 'short', word: rated(SHORT) },
          { value: 'own', word: H.releaseOwn },
        ]}
      />
      <Pick
        label={H.releaseAt}
        value={at}
        of={[NAME]}
        options={(rig.value?.places ?? []).map((place) => ({ value: place, word: placeText(place) }))}
      />
      {how.value === 'own' && (
        <>
          <Entry label={H.rate} value={rate} of={[NAME]} />
          <Entry label={H.lasts} value={lasts} of={[NAME]} />
        </>
      )}
      <Act
        name={NAME}
        word={H.releaseGas}
        weight="first"
        ask={({ api }) =>
          api.step(
            releaseStep({
              at: at.value,
              amount: amountOf(how.value, rig.value?.chargeKg ?? 0, rate.value, lasts.value),
            }),
          )
        }
      />
      {flows && <Act name="end release" word={H.releaseEnd} ask={({ api }) => api.step(endReleaseStep())} />}
    </fieldset>
  );
}

/** A whole charge in four minutes: strong enough to be seen by the sensors while the fan turns. */
export function wholeCharge(chargeKg: number): Release['amount'] {
  return { kind: 'mass', kg: `${chargeKg} kg`, emptiesIn: WHOLE_EMPTIES_IN };
}

function amountOf(how: string, chargeKg: number, rate: string, lasts: string): Release['amount'] {
  switch (how) {
    case 'short':
      return { kind: 'rate', rate: `${SHORT.gPerS} g/s`, lasts: SHORT.lasts };
    case 'long':
      return { kind: 'rate', rate: `${LONG.gPerS} g/s`, lasts: LONG.lasts };
    case 'whole':
      return wholeCharge(chargeKg);
    default:
      return { kind: 'rate', rate, lasts };
  }
}
