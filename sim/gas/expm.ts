/**
 * The matrix exponential of a small square matrix, by scaling and squaring with a Taylor series.
 *
 * Shape: row by row in one Float64Array of size * size. A linear system x' = A x with constant A has
 * x(t) = expm(A t) x(0), exactly; that is all the physics of this folder rests on. A row of zeros stays an
 * exact row of the identity, and where no entry off the diagonal is negative no entry of the result is:
 * what does not change keeps its value to the last bit, and no concentration ever turns negative.
 * Error: about the rounding unit times the norm of A t. Source: Moler & Van Loan, Nineteen Dubious Ways to
 * Compute the Exponential of a Matrix, SIAM Review 45 (2003), method 3 (memory).
 */

/** Halved to this norm, 0.5^15 / 15! = 2e-17 lies below the rounding unit: 14 terms are enough. */
const NORM_MAX = 0.5;
const TAYLOR_TERMS = 14;

/** Throws RangeError where an entry is not finite. */
export function expm(matrix: Float64Array, size: number): Float64Array {
  const norm = normOf(matrix, size);
  if (!Number.isFinite(norm)) throw new RangeError(`expm: a matrix of norm ${norm}`);
  const halvings = Math.max(0, Math.ceil(Math.log2(norm / NORM_MAX)));
  const scale = 2 ** -halvings;
  // Two matrices take turns, because making one costs more than the product that fills it.
  let result = taylor(
    matrix.map((value) => value * scale),
    size,
  );
  let next: Float64Array = new Float64Array(size * size);
  for (let squared = 0; squared < halvings; squared += 1) {
    multiply(result, result, next, size);
    [result, next] = [next, result];
  }
  return result;
}

/** An entry of a matrix or vector; one that is not there is a bug of ours, so it throws RangeError. */
export function at(values: Float64Array, index: number): number {
  const value = values[index];
  if (value === undefined) throw new RangeError(`at: no entry ${index} in ${values.length}`);
  return value;
}

/** The same of a list; a function of its own, so that `at` stays quick. */
export function entryOf<T>(list: readonly T[], index: number): T {
  const entry = list[index];
  if (entry === undefined) throw new RangeError(`entryOf: no entry ${index} in ${list.length}`);
  return entry;
}

/** I + A (I + A/2 (I + A/3 (…))): one product a term. */
function taylor(matrix: Float64Array, size: number): Float64Array {
  let sum: Float64Array = new Float64Array(size * size);
  let next: Float64Array = new Float64Array(size * size);
  addIdentity(sum, size);
  for (let term = TAYLOR_TERMS; term >= 1; term -= 1) {
    multiply(matrix, sum, next, size);
    for (let i = 0; i < next.length; i += 1) next[i] = at(next, i) / term;
    addIdentity(next, size);
    [sum, next] = [next, sum];
  }
  return sum;
}

function addIdentity(matrix: Float64Array, size: number): void {
  for (let i = 0; i < matrix.length; i += size + 1) matrix[i] = at(matrix, i) + 1;
}

/** left * right, written over `into`, which must be neither of them. */
export function multiply(left: Float64Array, right: Float64Array, into: Float64Array, size: number): void {
  into.fill(0);
  for (let row = 0; row < size; row += 1) {
    for (let inner = 0; inner < size; inner += 1) {
      const factor = at(left, row * size + inner);
      // Half of our entries are zero by structure.
      if (factor === 0) continue;
      for (let column = 0; column < size; column += 1) {
        const cell = row * size + column;
        into[cell] = at(into, cell) + factor * at(right, inner * size + column);
      }
    }
  }
}

/** Greatest sum of magnitudes along a row. */
function normOf(matrix: Float64Array, size: number): number {
  let norm = 0;
  for (let row = 0; row < size; row += 1) {
    let sum = 0;
    for (let column = 0; column < size; column += 1) sum += Math.abs(at(matrix, row * size + column));
    norm = Math.max(norm, sum);
  }
  return norm;
}
