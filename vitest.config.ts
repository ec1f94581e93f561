import { defineConfig } from 'vitest/config';

const CORES = ['units', 'refrigerant', 'poll', 'belief', 'mitigation', 'modbus'];
const SIM_CORES = ['gas', 'device', 'equipment'];
const complete = { branches: 100 };

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    coverage: {
      provider: 'v8',
      include: ['src/**/*.ts', 'sim/**/*.ts'],
      exclude: ['src/page/**'],
      reporter: ['text-summary', 'html'],
      thresholds: Object.fromEntries([
        ...CORES.map((folder) => [`src/${folder}/**`, complete]),
        ...SIM_CORES.map((folder) => [`sim/${folder}/**`, complete]),
      ]),
    },
  },
});
