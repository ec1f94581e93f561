/** Every command and every file that the documents show, run and compared, in the order of the document. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { drillTable } from '../helpers/documents/drill-table.ts';
import { follow } from '../helpers/documents/follow.ts';
import { DOCUMENTS } from '../helpers/documents/parts.ts';
import { CI_SAMPLES, commandsOfSample, openRepository } from '../helpers/documents/samples.ts';
import { drillNamed } from '../mutants/drills.ts';
import { builtIn } from '../mutants/judged.ts';

const RUN_MS_MAX = 600_000;
/** The README is followed in `npm test` already. */
const REST = DOCUMENTS.filter((file) => file !== 'README.md');

test.each(REST)('%s can be followed to the letter', { timeout: RUN_MS_MAX }, async (file) => {
  expect(await follow(file)).toBeGreaterThanOrEqual(file === 'DEVELOPERS.md' ? 0 : 1);
});

/** What the services set; a search for a night, cut short. */
const SERVICE = 'export GITHUB_RUN_NUMBER=7 CI_PIPELINE_IID=7 SEEK_FOR=5s\n';

test.each(CI_SAMPLES)(
  'each command of %s holds for a sound controller, and fails a hasty one',
  async (file) => {
    const repository = await openRepository();
    const commands = commandsOfSample(file).filter((command) => !command.startsWith('npm ci'));
    try {
      for (const command of commands) {
        const running = repository.run(SERVICE + command);
        expect(await running.code, running.said()).toBe(0);
      }
      for (const name of ['verdict.xml', 'verdict.html'])
        expect(existsSync(join(repository.folder, name))).toBe(true);
      const controller = join(repository.folder, 'controller/main.py');
      const hasty = readFileSync(controller, 'utf8').replaceAll('"holdMs"', '"compressorMinOffMs"');
      writeFileSync(controller, hasty);
      const drills = commands.filter((command) => command.includes('leakbench drill'));
      expect(drills).toHaveLength(1);
      expect(await repository.run(SERVICE + drills.join('')).code).toBe(1);
    } finally {
      repository.close();
    }
  },
);

test.each(drillTable())('the guide says what $id exercises', ({ id, exercises }) => {
  expect(builtIn(drillNamed(id)).exercised.join(', ')).toBe(exercises);
});
