/** A table with its heads, in a frame of its own. */
import type { ComponentChildren } from 'preact';
import { ScrollFrame } from './scroll-frame.tsx';

interface TableProps {
  readonly label: string;
  readonly heads: readonly string[];
  readonly children: ComponentChildren;
}

export function Table({ label, heads, children }: TableProps) {
  return (
    <ScrollFrame kind="table" label={label}>
      <table>
        <thead>
          <tr>
            {heads.map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </ScrollFrame>
  );
}
