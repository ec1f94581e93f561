/** What the controller's way of asking gives away; nothing where it was not watched, or asks as it should. */
import type { DrillVerdict } from '../verdict.ts';
import { ADVICE_HEAD, adviceOf } from '../words.ts';

export function Advice({ verdict }: { readonly verdict: DrillVerdict }) {
  const advice = adviceOf(verdict);
  if (advice.length === 0) return null;
  return (
    <section class="plate">
      <h3>{ADVICE_HEAD}</h3>
      <ul>
        {advice.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </section>
  );
}
