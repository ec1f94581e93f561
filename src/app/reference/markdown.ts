/** Markdown as the reference needs it. */

/** A table; what stands between columns is written so that it does not end one. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.map(cell).join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}

function cell(text: string): string {
  return text.replaceAll('|', '\\|').replaceAll('\n', ' ');
}

export function list(items: readonly string[]): string {
  return items.map((item) => `- ${item}`).join('\n');
}

export function code(text: string): string {
  return text === '' ? '' : `\`${text}\``;
}
