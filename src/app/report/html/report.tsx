/** The whole document: cautions, title, an overview of several drills, each drill, all cautions. */
import { Hatch } from '../../../page/chart/picture.tsx';
import { CAUTIONS } from '../../cautions.ts';
import type { Made } from '../made.ts';
import type { DrillVerdict } from '../verdict.ts';
import { CAUTION, countOf } from '../words.ts';
import { DrillSection } from './drill-section.tsx';
import { Overview } from './overview.tsx';
import { ResultMark } from './result-mark.tsx';
import { reportStyle } from './style.ts';

/** No script, and nothing is loaded from anywhere: a report says so itself. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'";

interface ReportProps {
  readonly verdicts: readonly DrillVerdict[];
  readonly made: Made;
}

export function Report({ verdicts, made }: ReportProps) {
  const first = verdicts.length === 1 ? verdicts[0] : undefined;
  const title = first === undefined ? countOf(verdicts) : `${first.verdict}: ${first.name}`;
  return (
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content={POLICY} />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="generator" content={`leakbench ${made.version}`} />
        <title>{`${title} (leakbench drill report)`}</title>
        <style dangerouslySetInnerHTML={{ __html: reportStyle() }} />
      </head>
      <body>
        <aside class="report-caution" aria-label="Caution">
          <p>
            <strong>{CAUTION}</strong> <a href="#cautions">All cautions</a>
          </p>
        </aside>
        <main>
          <Title verdicts={verdicts} made={made} />
          {verdicts.length > 1 && <Overview verdicts={verdicts} />}
          <Hatch />
          {verdicts.map((verdict, index) => (
            <DrillSection key={index} verdict={verdict} made={made} number={index + 1} />
          ))}
        </main>
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

function Title({ verdicts, made }: ReportProps) {
  const verdict = verdicts.every((one) => one.verdict === 'held') ? 'held' : 'broken';
  return (
    <header class="report-title">
      <div>
        <h1>Drill report</h1>
        <p class="quiet">
          leakbench {made.version}, Node.js {made.node}, made {dayAndTime(made.at)}
        </p>
      </div>
      {verdicts.length > 1 && (
        <p class="report-sum">
          <ResultMark result={verdict} /> {countOf(verdicts)}
        </p>
      )}
    </header>
  );
}

/** In UTC, and says so: a report is read elsewhere than where it was made. */
function dayAndTime(at: Date): string {
  const [day = '', time = ''] = at.toISOString().split('T');
  return `${day} ${time.slice(0, 5)} UTC`;
}
