import { defineConfig, type TestProjectInlineConfiguration } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

const CORES = [
  'units',
  'refrigerant',
  'figures',
  'poll',
  'belief',
  'mitigation',
  'modbus',
  'lesson',
  'class',
];
const SIM_CORES = ['gas', 'device', 'equipment', 'judge'];
const SLOW = [
  'tests/live/**/*.test.ts',
  'tests/browser/**/*.test.ts',
  'tests/interop/**/*.test.ts',
  // Real sockets and real time-outs.
  'tests/src/supervisor/{bus-client,bus-client-odd,rtu-bus,shell}.test.ts',
  'tests/sim/world/wire-{neighbours,trouble}.test.ts',
];
/** Vitest itself would leave one core to others. */
const WORKERS = 2;
/** Hours of bench time: run with `npm run test:long`. */
const LONG = ['tests/long/**/*.test.ts'];
/** Ratios, measured side by side: run with `npm run bench`. */
const BENCH = ['tests/bench/**/*.test.ts'];
/** One folder's own tests, while its code is mutated: `npm run test:mutants`. */
const MUTATED = process.env['LEAKBENCH_MUTATE'];
/** They start processes, which a mutant does not reach. */
const OWN_PROCESSES = ['tests/src/record/{full-disk,kill}.test.ts'];
/** They take seconds, and most mutants have fallen before. */
const ORACLES = /\/(?:reachable|plain-evaluator)\.test\.ts$/u;
/** What the documents show: run with `npm run pictures`. */
const PICTURES = ['tests/pictures/**/*.test.ts'];
const complete = { branches: 100 };

function project(
  name: string,
  include: string[],
  options: {
    exclude: string[];
    groupOrder: number;
    maxWorkers: number;
    isolate?: false;
    waits?: true;
    around?: string;
  },
): TestProjectInlineConfiguration {
  const { exclude, groupOrder, maxWorkers, isolate = true, waits = false, around } = options;
  return {
    test: {
      name,
      include,
      exclude,
      setupFiles: ['tests/helpers/seeded.ts'],
      testTimeout: 120_000,
      hookTimeout: 120_000,
      sequence: { groupOrder },
      isolate,
      maxWorkers,
      ...(around === undefined ? {} : { globalSetup: [around] }),
      // A loaded machine can hold a bench at speed 20 up for longer than its limits; three times in a row it
      // is the bench.
      ...(waits ? { retry: 2, maxConcurrency: 8 } : {}),
    },
  };
}

const PROJECTS = [
  project('cores', ['tests/**/*.test.ts'], {
    exclude: [...SLOW, ...LONG, ...BENCH, ...PICTURES],
    groupOrder: 0,
    maxWorkers: WORKERS,
    // Loading the same modules anew for every file would be a quarter of the time.
    isolate: false,
  }),
  // Whole benches at speed 20, browsers and captures: they wait most of their time, but want no cores beside.
  project('live', SLOW, { exclude: [], groupOrder: 1, maxWorkers: WORKERS, waits: true }),
  project('long', LONG, { exclude: [], groupOrder: 2, maxWorkers: 1, waits: true }),
  project('bench', BENCH, { exclude: [], groupOrder: 3, maxWorkers: 1, around: 'tests/bench/table.ts' }),
  project('pictures', PICTURES, { exclude: [], groupOrder: 4, maxWorkers: 1 }),
];

function mutants(folder: string): TestProjectInlineConfiguration {
  const include = [`tests/${folder}/**/*.test.ts`];
  return project('mutants', include, {
    exclude: OWN_PROCESSES,
    groupOrder: 0,
    maxWorkers: 1,
    isolate: false,
  });
}

class OraclesLast extends BaseSequencer {
  override sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification): number => Number(ORACLES.test(moduleId));
    return Promise.resolve(files.toSorted((a, b) => rank(a) - rank(b)));
  }
}

export default defineConfig({
  test: {
    projects: MUTATED === undefined ? PROJECTS : [mutants(MUTATED)],
    ...(MUTATED === undefined ? {} : { sequence: { sequencer: OraclesLast } }),
    coverage: {
      provider: 'v8',
      include: ['src/**/*.ts', 'sim/**/*.ts'],
      exclude: ['src/page/**'],
      reporter: ['text-summary', 'html'],
      thresholds: Object.fromEntries([
        ...CORES.map((folder) => [`src/${folder}/**`, complete] as const),
        ...SIM_CORES.map((folder) => [`sim/${folder}/**`, complete] as const),
      ]),
    },
  },
});
