/** The whole document: cautions, title, an overview of several drills, each drill, all cautions. */
import { Hatch } from '../../../page/chart/picture.tsx';
import type { Made } from '../made.ts';
import type { DrillVerdict } from '../verdict.ts';
import { countOf } from '../words.ts';
import { Document, MadeBy } from './document.tsx';
import { DrillSection } from './drill-section.tsx';
import { Overview } from './overview.tsx';
import { ResultMark } from './result-mark.tsx';

interface ReportProps {
  readonly verdicts: readonly DrillVerdict[];
  readonly made: Made;
}

export function Report({ verdicts, made }: ReportProps) {
  const first = verdicts.length === 1 ? verdicts[0] : undefined;
  const title = first === undefined ? countOf(verdicts) : `${first.verdict}: ${first.name}`;
  return (
    <Document title={`${title} (leakbench drill report)`} made={made}>
      <Title verdicts={verdicts} made={made} />
      {verdicts.length > 1 && <Overview verdicts={verdicts} />}
      <Hatch />
      {verdicts.map((verdict, index) => (
        <DrillSection key={index} verdict={verdict} made={made} number={index + 1} />
      ))}
    </Document>
  );
}

function Title({ verdicts, made }: ReportProps) {
  const verdict = verdicts.every((one) => one.verdict === 'held') ? 'held' : 'broken';
  return (
    <header class="report-title">
      <div>
        <h1>Drill report</h1>
        <MadeBy made={made} />
      </div>
      {verdicts.length > 1 && (
        <p class="report-sum">
          <ResultMark result={verdict} /> {countOf(verdicts)}
        </p>
      )}
    </header>
  );
}
