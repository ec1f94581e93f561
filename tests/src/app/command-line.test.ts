/** What the command line takes, and what it does not swallow; in this process, and before anything is run. */
import { expect, test } from 'vitest';
import { commandLine } from '../../../src/app/command-line.ts';
import { EXIT } from '../../../src/app/stop.ts';

const parsed = (...args: string[]): Promise<unknown> => commandLine().parseAsync(args, { from: 'user' });

test.each([
  [['--speed', '1'], /add --live, or leave --speed out/u],
  [['--bus', 'tcp://127.0.0.1:0', '--speed', '9'], /add --live, or leave --speed, --bus out/u],
  [['--wait', '1 s'], /only an external controller is waited for: leave --wait out/u],
  [['--wait', '1 s', '--live'], /leave --wait out, or add --live --controller external/u],
  [['--controller-power', 'true', '--controller', 'exec:true'], /leave --controller-power out/u],
  [['--controller-power', 'true', '--live'], /leave --controller-power out, or add --controller external/u],
])('a drill refuses what would do nothing: %j', async (args, says) => {
  await expect(parsed('drill', 'fire', ...args)).rejects.toMatchObject({
    exitCode: EXIT.usage,
    message: expect.stringMatching(says) as string,
  });
});

test('a worker of a search still refuses what the search tells it', async () => {
  const args = ['seek', 'my.rig.yaml', '--worker', '--queue', 'redis://127.0.0.1:1', '--runs', '5', '--json'];
  await expect(parsed(...args)).rejects.toThrow(/leave my\.rig\.yaml, --runs, --json out/u);
});

test('a seed is for those who draw by chance: a supervisor alone does not', () => {
  const seeded = commandLine().commands.filter(({ options }) =>
    options.some(({ long }) => long === '--seed'),
  );
  expect(seeded.map((verb) => verb.name())).toEqual(['serve', 'sim', 'drill', 'seek']);
});

test('a word that is nearly a verb is answered with that verb, whichever it is', async () => {
  const verbs = commandLine().commands.map((verb) => verb.name());
  expect(verbs).toEqual(expect.arrayContaining(['reference', 'completion', 'serve', 'check']));
  for (const verb of verbs.filter((name) => name !== 'complete')) {
    const nearly = `${verb}x`;
    await expect(parsed(nearly)).rejects.toThrow(`"${nearly}" is neither a verb nor a rig file`);
    await expect(parsed(nearly)).rejects.toThrow(new RegExp(`did you mean "${verb}"`, 'u'));
  }
});
