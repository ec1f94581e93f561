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
  reporters: ['clear-text', 'json', 'progress-append-only'],
  clearTextReporter: { logTests: false, reportTests: false },
  jsonReporter: { fileName: `reports/mutants/${folder.replace('/', '-')}.json` },
  concurrency: 1,
  thresholds: { high: 98, low: 95, break: 95 },
};
