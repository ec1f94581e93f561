/** Comma-separated values (RFC 4180), safe to be opened in a spreadsheet. */

const LINE_END = '\r\n';
/** What makes a spreadsheet take a cell for a formula (OWASP, CSV injection). */
const FORMULA = /^[=+\-@\t\r]/u;

export function csvText(rows: readonly (readonly (string | number | null)[])[]): string {
  return rows.map((cells) => cells.map(field).join(',') + LINE_END).join('');
}

/** In quotes where it holds one, a comma or a line end; a quote is doubled. Numbers stay numbers. */
function field(cell: string | number | null): string {
  if (cell === null) return '';
  const text = typeof cell === 'string' && FORMULA.test(cell) ? `'${cell}` : String(cell);
  return /[",\r\n]/u.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
