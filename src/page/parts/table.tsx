/** A table wider than a phone: it scrolls on its own, by keyboard as well. */
import type { ComponentChildren } from 'preact';

interface TableProps {
  readonly name: string;
  readonly columns: readonly string[];
  /** Its rows. */
  readonly children: ComponentChildren;
}

export function Table({ name, columns, children }: TableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard
    <section class="table-scroll" tabIndex={0} aria-label={name}>
      <table class="table">
        <caption>{name}</caption>
        <thead>
          <tr>
            {columns.map((column) => (
              <th key={column} scope="col">
                {column}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </section>
  );
}
