/** Plain text in lines of a width. */
import { stripVTControlCharacters } from 'node:util';

/**
 * Broken at blanks, what follows the first line indented by `hang` more; a word longer than the line is
 * left whole.
 */
export function wrapped(text: string, width: number, indent = '', hang = ''): readonly string[] {
  const lines: string[] = [];
  let line = indent;
  let isBegun = false;
  for (const word of text.split(' ')) {
    const longer = isBegun ? `${line} ${word}` : line + word;
    if (isBegun && longer.length > width) {
      lines.push(line.trimEnd());
      line = indent + hang + word;
    } else line = longer;
    isBegun = true;
  }
  return [...lines, line.trimEnd()];
}

/** A name or a controller's last line must not move the cursor or paint the rest of a report. */
export function plain(text: string): string {
  return stripVTControlCharacters(text).replace(/\p{Cc}/gu, ' ');
}
