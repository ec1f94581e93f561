/** A frame that scrolls sideways by itself, where a screen is too narrow for what stands in it. */
import type { ComponentChildren } from 'preact';

interface ScrollFrameProps {
  /** Said once in a document, so that those who hear it know where they are. */
  readonly label: string;
  readonly kind: 'picture' | 'table';
  readonly children: ComponentChildren;
}

export function ScrollFrame({ label, kind, children }: ScrollFrameProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard
    <section class={`${kind}-frame`} tabIndex={0} aria-label={label}>
      {children}
    </section>
  );
}
