/** Hides what would give a lesson away while it is on, until the instructor says otherwise. */
import type { ComponentChildren } from 'preact';
import { C } from '../texts/class.ts';
import { classOf, markOf, useDesk } from './desk.ts';

export function Curtain({ children }: { readonly children: ComponentChildren }) {
  const desk = useDesk();
  const lesson = classOf(desk)?.lesson ?? null;
  const isShut = lesson?.phase === 'running' && desk.lifted.value !== markOf(lesson);
  if (!isShut) return <>{children}</>;
  return (
    <section class="curtain" aria-label={C.curtain}>
      <h2>{C.curtain}</h2>
      <p>{C.curtainSays}</p>
      <button
        type="button"
        onClick={() => {
          desk.lifted.value = markOf(lesson);
        }}
      >
        {C.curtainLift}
      </button>
    </section>
  );
}
