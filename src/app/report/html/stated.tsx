/** What the built-in supervisor stated while it ran. Not evidence: the judge did not read it. */
import { CATALOGUE, type Fact, textOf } from '../../../events/index.ts';
import { formatClock } from '../../../units/index.ts';

/** More than anybody reads; the picture shows the rest. */
const SHOWN_MAX = 200;

export function Stated({ facts }: { readonly facts: readonly Fact[] }) {
  const told = facts.filter((fact) => CATALOGUE[fact.id].severity !== 'trace');
  if (told.length === 0) return null;
  return (
    <details class="plate">
      <summary>
        <h3 class="stated-name">What the supervisor stated</h3>{' '}
        <span class="quiet">
          {told.length > SHOWN_MAX ? `the first ${SHOWN_MAX} of ${told.length}` : told.length}; not evidence
        </span>
      </summary>
      <ol class="stated">
        {told.slice(0, SHOWN_MAX).map((fact, index) => (
          <li key={index}>
            <span class="figure">{formatClock(fact.atMs)}</span>
            <span>
              {textOf(fact)}
              {fact.id === 'command.changed' && (
                <span class="quiet"> because {fact.fields.because.join('; ')}</span>
              )}
            </span>
          </li>
        ))}
      </ol>
    </details>
  );
}
