/** The report's looks: the page's own style, so that both show the same picture, and what paper needs. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../../../files/index.ts';

const SHEETS = [
  'src/page/style/base.css',
  'src/page/style/parts.css',
  'src/page/style/stations.css',
  'src/page/style/chart.css',
  'src/app/report/html/report.css',
];

/** `own`: path of a further sheet, in the package. */
export function reportStyle(own?: string): string {
  const sheets = own === undefined ? SHEETS : [...SHEETS, own];
  return sheets.map((sheet) => readFileSync(join(packageRoot(), sheet), 'utf8')).join('\n');
}
