/** Small pieces of sentences. */

/** "1, 2 and 3"; "a, b or c". */
export function listed(words: readonly (string | number)[], joint = 'and'): string {
  const last = String(words.at(-1) ?? '');
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} ${joint} ${last}`;
}

/** As the Modbus standard writes codes: two hexadecimal digits. */
export function codeText(code: number): string {
  return code.toString(16).toUpperCase().padStart(2, '0');
}
