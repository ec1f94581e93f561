/** Private windows and blocked storage throw: what was to be kept then lasts as long as the page. */
export function ifAllowed<Value>(use: () => Value): Value | null {
  try {
    return use();
  } catch {
    return null;
  }
}
