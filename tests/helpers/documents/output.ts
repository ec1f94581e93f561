/** Whether what came is what a document shows: word for word, but for “…”. */

const ANY_LINES = '(?:.*\\n)*?';

/** A line of “…” alone stands for any number of lines, within a line it stands for any characters. */
export function isAsShown(shown: string, came: string): boolean {
  const lines = shown.trimEnd().split('\n').map(patternOf);
  return new RegExp(`^${lines.join('')}$`, 'u').test(`${came.trimEnd()}\n`);
}

function patternOf(line: string): string {
  if (line.trim() === '…') return ANY_LINES;
  return `${line.split('…').map(literally).join('.*')}\\n`;
}

function literally(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/gu, '\\$&');
}
