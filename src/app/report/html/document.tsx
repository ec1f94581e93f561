/** A document that needs nothing else: one file, no script, cautions at its head and in full at its foot. */
import type { ComponentChildren } from 'preact';
import { CAUTIONS } from '../../cautions.ts';
import type { Made } from '../made.ts';
import { CAUTION } from '../words.ts';
import { reportStyle } from './style.ts';

/** No script, and nothing is loaded from anywhere: a document says so itself. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'";

interface DocumentProps {
  readonly title: string;
  readonly made: Made;
  /** Path of a further style sheet, in the package. */
  readonly ownStyle?: string;
  readonly children: ComponentChildren;
}

export function Document({ title, made, ownStyle, children }: DocumentProps) {
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content={POLICY} />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="generator" content={`leakbench ${made.version}`} />
        <title>{title}</title>
        <style dangerouslySetInnerHTML={{ __html: reportStyle(ownStyle) }} />
      </head>
      <body>
        <aside class="report-caution" aria-label="Caution">
          <p>
            <strong>{CAUTION}</strong> <a href="#cautions">All cautions</a>
          </p>
        </aside>
        <main>{children}</main>
        <footer class="report-foot" id="cautions">
          <h2>Cautions</h2>
          <ol>
            {CAUTIONS.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ol>
        </footer>
      </body>
    </html>
  );
}

/** By what it was made, and when: in UTC, and says so, since it is read elsewhere than where it was made. */
export function MadeBy({ made }: { readonly made: Made }) {
  const [day = '', time = ''] = made.at.toISOString().split('T');
  return (
    <p class="quiet">
      leakbench {made.version}, Node.js {made.node}, made {day} {time.slice(0, 5)} UTC
    </p>
  );
}
