/** What is told at the reveal, to the class and on the phones: what could be found, why, what is safe. */
import { Mark } from '../parts/mark.tsx';
import { S } from '../texts/seat.ts';
import type { Told } from './types.ts';

export function Teaching({ told }: { readonly told: Told }) {
  return (
    <div class="told">
      <section class="safe-step">
        <h3>
          <Mark kind="locked" /> {S.safeNextStep}
        </h3>
        <p>{told.safeNextStep}</p>
      </section>
      <section>
        <h3>{S.shows}</h3>
        <p>{told.shows}</p>
      </section>
      <section>
        <h3>{S.teach}</h3>
        {told.teach.map((paragraph) => (
          <p key={paragraph}>{paragraph}</p>
        ))}
      </section>
    </div>
  );
}
