/** The first whole ms after `not` at which it is so, where it is so at `so` and stays so. */
export function firstBetween(not: number, so: number, isSo: (atMs: number) => boolean): number {
  let [before, first] = [not, so];
  while (first - before > 1) {
    const middle = Math.floor((before + first) / 2);
    if (isSo(middle)) first = middle;
    else before = middle;
  }
  return first;
}
