/** Something that can be asked "why?": a button that shows how it stands, and the chain of facts behind. */
import type { ComponentChildren } from 'preact';
import { Disclosure } from '../parts/disclosure.tsx';
import { useStore } from '../parts/use-store.ts';
import { B, T } from '../texts/index.ts';

interface WhyProps {
  /** Names it among all that can be asked. */
  readonly id: string;
  /** What is asked about, in words, and how it stands. */
  readonly what: string;
  readonly how: string;
  /** Worked out only once somebody asks. */
  readonly because: () => readonly string[];
  readonly buttonClass?: string;
  readonly beside?: ComponentChildren;
  readonly children: ComponentChildren;
}

export function Why({ id, what, how, because, buttonClass = 'why', beside, children }: WhyProps) {
  const { asked } = useStore();
  return (
    <Disclosure
      id={id}
      of={asked}
      word={
        <>
          {children}
          <span class="why-word">{T.why}</span>
        </>
      }
      buttonClass={buttonClass}
      beside={beside}
    >
      {() => (
        <div class="chain" role="status">
          <p>{B.isBecause(what, how)}</p>
          <ol>
            {because().map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ol>
        </div>
      )}
    </Disclosure>
  );
}
