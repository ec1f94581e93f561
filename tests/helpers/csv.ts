/** Reads a table as RFC 4180 says, quotes and all: another program's view of what the page saves. */

export function readCsv(text: string): readonly (readonly string[])[] {
  const rows: string[][] = [];
  let row: string[] = [];
  // A cell, quoted or plain, and what ends it.
  for (const [whole, quoted, plain, end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n|$)/gu)) {
    if (whole === '') break;
    row.push(quoted === undefined ? (plain ?? '') : quoted.replaceAll('""', '"'));
    if (end === ',') continue;
    rows.push(row);
    row = [];
  }
  return rows;
}

/** Time in ms and value of each row of a signal; null where it is empty. */
export function seriesIn(rows: readonly (readonly string[])[], signal: string) {
  return rows
    .filter(([, , name]) => name === signal)
    .map(([time, , , value]) => [Math.round(Number(time) * 1000), value === '' ? null : Number(value)]);
}
