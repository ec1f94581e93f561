/** A button and the panel it opens below itself; Escape closes the panel and gives the button back. */
import type { ComponentChildren } from 'preact';
import { useId, useLayoutEffect, useRef } from 'preact/hooks';
import type { Opened } from '../data/opened.ts';

interface DisclosureProps {
  /** Which of all panels of its kind this is. */
  readonly id: string;
  readonly of: Opened;
  readonly word: ComponentChildren;
  /** The button's name, where the word alone does not tell whose panel it is. */
  readonly name?: string;
  /** What stands between the button and the panel. */
  readonly beside?: ComponentChildren;
  readonly buttonClass?: string;
  readonly children: () => ComponentChildren;
}

export function Disclosure({ id, of, word, name, beside, buttonClass, children }: DisclosureProps) {
  const panel = useId();
  const button = useRef<HTMLButtonElement>(null);
  const isOpen = of.id.value === id;
  const content = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    if (isOpen) content.current?.scrollIntoView({ block: 'nearest' });
  }, [isOpen]);
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || !isOpen) return;
    event.stopPropagation();
    of.close();
    button.current?.focus();
  };
  // What the keyboard goes to next must not lie beneath the panel; a click beside it leaves it open.
  const onFocusOut = (event: FocusEvent & { readonly currentTarget: HTMLElement }): void => {
    const { relatedTarget } = event;
    if (isOpen && relatedTarget instanceof Node && !event.currentTarget.contains(relatedTarget)) of.close();
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: keys of the button and of the panel pass here
    <div class={isOpen ? 'disclosure is-open' : 'disclosure'} onKeyDown={onKeyDown} onFocusOut={onFocusOut}>
      <button
        ref={button}
        type="button"
        class={buttonClass ?? 'opener'}
        data-opens={id}
        aria-expanded={isOpen}
        aria-controls={panel}
        {...(name === undefined ? {} : { 'aria-label': name })}
        onClick={() => {
          of.toggle(id);
        }}
      >
        {word}
      </button>
      {beside}
      <div ref={content} id={panel} class="panel" hidden={!isOpen}>
        {isOpen && children()}
      </div>
    </div>
  );
}
