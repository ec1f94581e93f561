/** "did you mean" for words that people mistype, by Levenshtein distance (fastest-levenshtein). */
import { closest, distance } from 'fastest-levenshtein';

/** Half of a word's letters may be wrong before a suggestion would only confuse. */
const WRONG_LETTERS_MAX_SHARE = 0.5;

/** What to write instead of `word`: the nearest known word, or all of them where none is near. */
export function suggestion(word: string, known: readonly string[]): string {
  if (known.length === 0) return 'leave it out';
  const near = nearTo(word, known);
  return near === null ? `it takes ${known.join(', ')}` : `did you mean "${near}"?`;
}

/** The known word that was meant; null where none is near. */
export function nearTo(word: string, known: readonly string[]): string | null {
  const near = closest(word, known);
  return known.length > 0 && distance(word, near) <= near.length * WRONG_LETTERS_MAX_SHARE ? near : null;
}

/** All known words, nearest in spelling first: a list to choose from, where no word should be suggested. */
export function nearestFirst(word: string, known: readonly string[]): readonly string[] {
  return [...known].sort((a, b) => distance(word, a) - distance(word, b));
}
