/** Names of seats: what a person may call themselves on a shared screen. */
import { NAME_LETTERS_MAX } from './limits.ts';

/**
 * Control signs, and those that turn the direction of what follows or cannot be seen: with them one name
 * could look like another, or upset the list it stands in.
 */
const UNSEEN = /[\p{Cc}\p{Cs}\p{Co}\p{Cn}\u061C\u200B\u200E\u200F\u2028-\u202E\u2060-\u206F\uFEFF]/u;
const JOINERS = /[\u200C\u200D]/gu;
const SEEN = /[\p{L}\p{N}\p{P}\p{S}]/u;

/** As it will be shown, or null for one that cannot be. */
export function readName(written: string): string | null {
  const name = written
    .normalize('NFC')
    .trim()
    .replaceAll(/\p{Zs}+/gu, ' ');
  const letters = Array.from(name).length;
  if (letters < 1 || letters > NAME_LETTERS_MAX || UNSEEN.test(name) || !SEEN.test(name)) return null;
  return name;
}

/** Names that a room would take for one and the same. */
export function sameName(one: string, other: string): boolean {
  return folded(one) === folded(other);
}

function folded(name: string): string {
  return name.normalize('NFKC').replaceAll(JOINERS, '').toLowerCase();
}
