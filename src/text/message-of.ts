/** What an error says. */
export function messageOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  // A refused connection to a name with two addresses carries its reason in the code alone.
  return error.message === '' && 'code' in error ? String(error.code) : error.message;
}
