/** One drill: its verdict, what broke and why, the picture, then everything in full. */

import type { Made } from '../made.ts';
import { type DrillVerdict, isExercised } from '../verdict.ts';
import { tallyOf } from '../words.ts';
import { AboutRun } from './about-run.tsx';
import { Advice } from './advice.tsx';
import { Breaches } from './breaches.tsx';
import { Chain } from './chain.tsx';
import { ResultMark } from './result-mark.tsx';
import { RulesTable } from './rules-table.tsx';
import { Stated } from './stated.tsx';
import { Timeline } from './timeline.tsx';

interface DrillSectionProps {
  readonly verdict: DrillVerdict;
  readonly made: Made;
  readonly number: number;
}

export function DrillSection({ verdict, made, number }: DrillSectionProps) {
  const { drill, notes, rules, expectations } = verdict;
  return (
    <section class="drill" id={`drill-${number}`} aria-label={`Drill ${number}: ${verdict.name}`}>
      <header class={`plate verdict verdict-${verdict.verdict}`}>
        <p class="verdict-word">
          <ResultMark result={verdict.verdict} />
        </p>
        <h2>{verdict.name}</h2>
        {drill.why !== '' && <p class="why">{drill.why}</p>}
        <p class="quiet">{tallyOf(verdict)}</p>
        {notes.map((note) => (
          <p key={note} class="note">
            Note: {note}
          </p>
        ))}
        <Breaches verdict={verdict} />
      </header>
      <Advice verdict={verdict} />
      <Timeline verdict={verdict} number={number} />
      {rules.length > 0 && <RulesTable rules={rules} number={number} />}
      {expectations.length > 0 && <Expectations verdict={verdict} />}
      <HowHeld verdict={verdict} />
      <Stated facts={verdict.facts} />
      <section class="plate">
        <h3>The drill as written</h3>
        <pre class="drill-text">{drill.text}</pre>
      </section>
      <AboutRun verdict={verdict} made={made} />
    </section>
  );
}

function Expectations({ verdict }: { readonly verdict: DrillVerdict }) {
  return (
    <section class="plate">
      <h3>Expectations of this drill</h3>
      <ul class="expectations">
        {verdict.expectations.map(({ text, result, because }, index) => (
          <li key={index}>
            <ResultMark result={result} />
            <div>
              <p>{text}</p>
              {result === 'held' && <Chain because={because} />}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The closest call of each rule that held: what a reader needs to believe that it did. */
function HowHeld({ verdict }: { readonly verdict: DrillVerdict }) {
  const told = verdict.rules.filter((rule) => rule.result !== 'broken' && rule.because.length > 0);
  if (told.length === 0) return null;
  return (
    <section class="plate">
      <h3>The facts behind the rest</h3>
      <dl class="reasons">
        {told.map((rule) => (
          <div key={rule.id}>
            <dt>
              {rule.id} <span class="quiet">{isExercised(rule) ? 'held' : rule.result}</span>
            </dt>
            <dd>
              <Chain because={rule.because} />
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
