/** For a JSON Schema, which sees nothing of a refinement: of these keys exactly one. */
export function oneOf(keys: readonly string[]) {
  return { oneOf: keys.map((key) => ({ required: [key] })) };
}
