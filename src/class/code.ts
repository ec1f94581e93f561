/** Class codes: short enough to be read from a screen and typed with a thumb. */

/** Without pairs that are taken for one another: 0 O Q, 1 I L, 2 Z, 5 S, 8 B, 6 G, U V. */
const ALPHABET = '34679ACDEFHJKMNPRTVWXY';
const LENGTH = 6;
const SHAPE = new RegExp(`^[${ALPHABET}]{${LENGTH}}$`, 'u');

/** `below(n)` draws a whole number from 0 to below n, each as likely. */
export function newCode(below: (limit: number) => number): string {
  return Array.from({ length: LENGTH }, () => ALPHABET.charAt(below(ALPHABET.length))).join('');
}

/** As people type it: in any case, with gaps; null for what cannot be a code. */
export function readCode(written: string): string | null {
  const code = written.replaceAll(/[\s-]/gu, '').toUpperCase();
  return SHAPE.test(code) ? code : null;
}
