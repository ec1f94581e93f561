/** Mutation testing of what safety and verdicts rest on, a folder a run; DEVELOPERS.md has the scores. */
process.env.LEAKBENCH_MUTATE ??= 'src/mitigation';
const folder = process.env.LEAKBENCH_MUTATE;

export default {
  mutate: [`${folder}/**/*.ts`],
  testRunner: 'vitest',
  // Only the folder's own tests are in the project (vitest.config.ts): nothing is left to be found out.
  vitest: { related: false },
  coverageAnalysis: 'perTest',
  ignorePatterns: ['dist', 'coverage', 'reports', '.leakbench', 'tests/.tmp'],
  tempDirName: '.stryker-tmp',
  reporters: ['clear-text', 'progress-append-only'],
  clearTextReporter: { logTests: false, reportTests: false },
  // What was killed by a test that still stands is not tried again; --force tries everything.
  incremental: true,
  incrementalFile: `reports/mutants/${folder.replace('/', '-')}.json`,
  concurrency: 1,
  // A busy machine must not pass for an endless loop, which would count as found.
  timeoutMS: 60_000,
  thresholds: { high: 98, low: 95, break: 95 },
};
