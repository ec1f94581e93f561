/** "did you mean" for words that people mistype, by Levenshtein distance (fastest-levenshtein). */
import { closest, distance } from 'fastest-levenshtein';

/** Half of a word's letters may be wrong before a suggestion would only confuse. */
const WRONG_LETTERS_MAX_SHARE = 0.5;

/** What to write instead of `word`: the nearest known word, or all of them where none is near. */
export function suggestion(word: string, known: readonly string[]): string {
  if (known.length === 0) return 'leave it out';
  const near = closest(word, known);
  const isNear = distance(word, near) <= near.length * WRONG_LETTERS_MAX_SHARE;
  return isNear ? `did you mean "${near}"?` : `it takes ${known.join(', ')}`;
}

/** All known words, nearest in spelling first: a list to choose from, where no word should be suggested. */
export function nearestFirst(word: string, known: readonly string[]): readonly string[] {
  return [...known].sort((a, b) => distance(word, a) - distance(word, b));
}
