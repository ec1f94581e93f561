/** A meter and a portable gas reader: choose where to hold them, read what they show. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import type { FieldView } from '../class/types.ts';
import { F } from '../texts/field.ts';

/** Volts stand until something is switched, so that a change of them is worth hearing. */
export function Meter({ terminals }: { readonly terminals: FieldView['terminals'] }) {
  const id = useId();
  const chosen = useSignal('');
  const terminal = terminals.find((one) => one.id === chosen.value);
  return (
    <section class="tool" aria-labelledby={`${id}h`}>
      <h3 id={`${id}h`}>{F.meter}</h3>
      <label for={id}>{F.meterAt}</label>
      <select
        id={id}
        value={chosen.value}
        onChange={(event) => {
          chosen.value = event.currentTarget.value;
        }}
      >
        <option value="">{F.meterNone}</option>
        {terminals.map((one) => (
          <option key={one.id} value={one.id}>
            {splitWords(one.words)[0]}
          </option>
        ))}
      </select>
      <output for={id} class="reading">
        {terminal === undefined ? '–' : F.volts(terminal.volts)}
      </output>
      <p class="quiet">{terminal === undefined ? F.meterHint : splitWords(terminal.words)[1]}</p>
    </section>
  );
}

/** The air changes all the time: it is read when the person looks, and never said by itself. */
export function GasReader({ portable }: { readonly portable: FieldView['portable'] }) {
  const id = useId();
  const chosen = useSignal(portable[0]?.at ?? '');
  const reading = portable.find(({ at }) => at === chosen.value);
  return (
    <section class="tool" aria-labelledby={`${id}h`}>
      <h3 id={`${id}h`}>{F.portable}</h3>
      <fieldset class="places">
        <legend>{F.portableAt}</legend>
        {portable.map(({ at, words }) => (
          <label key={at} class="pick">
            <input
              type="radio"
              name={id}
              checked={at === chosen.value}
              aria-describedby={`${id}r`}
              onChange={() => {
                chosen.value = at;
              }}
            />
            <span>{words}</span>
          </label>
        ))}
      </fieldset>
      <output id={`${id}r`} class="reading" aria-live="off">
        {reading === undefined ? '–' : F.gas(reading.percentLfl)}
      </output>
      <p class="quiet">{F.portableHint}</p>
    </section>
  );
}

/** "Airflow switch: 24 V where it is open" is chosen by what stands before the colon, and read after it. */
function splitWords(words: string): readonly [string, string] {
  const at = words.indexOf(':');
  return at < 0 ? [words, F.meterHint] : [words.slice(0, at), words.slice(at + 1).trim()];
}
