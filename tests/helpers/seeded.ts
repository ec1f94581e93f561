/**
 * Every property test draws from one seed, so that a run can be repeated to the bit and a build does not
 * fail by luck. LEAKBENCH_SEED=N draws others; a failure prints seed and path. A mutant only has to be found:
 * nobody wants its counterexample made smaller.
 */
import fc from 'fast-check';

const { LEAKBENCH_MUTATE: MUTATED } = process.env;
const SEED = 20_261_125;

fc.configureGlobal({
  seed: Number(process.env['LEAKBENCH_SEED'] ?? SEED),
  endOnFailure: MUTATED !== undefined,
});
