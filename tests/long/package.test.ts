/**
 * The package in a stranger's hands: installed from the tarball into an empty folder, and README's own lines run
 * there, under each Node that we name. Other Nodes come from the registry.
 */
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { delimiter, dirname, join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder } from '../helpers/bench-process.ts';
import { packedNow } from '../helpers/packed.ts';

const NODES = [20, 22, 24];
/** Of a line that hangs, its words are wanted, not the silence of the test's own time-out. */
const LINE_MS_MAX = 120_000;
const NODE_MS_MAX = 300_000;
/** The lines of README's own section on the package. */
const LINES =
  /\n## As a package\n.*?```sh\n(.*?)```/su
    .exec(readFileSync(join(packageRoot(), 'README.md'), 'utf8'))?.[1]
    ?.trim()
    .split('\n')
    .map((line) => line.replace(/ {2,}#.*$/u, '')) ?? [];
const [INSTALL = '', SERVE = '', ...OTHERS] = LINES;

let tarball: string;

beforeAll(() => {
  tarball = packedNow().tarball;
});

/** The folder of a Node of this age; our own where it is that. */
function nodeFolder(major: number): string {
  if (process.versions.node.startsWith(`${major}.`)) return dirname(process.execPath);
  const name = `node-${process.platform}-${process.arch}`;
  const folder = freshFolder();
  execFileSync('npm', ['install', '--prefix', folder, '--no-save', `${name}@${major}`], { stdio: 'pipe' });
  return join(folder, 'node_modules', name, 'bin');
}

/** What npm and vitest tell those that they start is not for a stranger's shell. */
function environment(nodes: string): NodeJS.ProcessEnv {
  const ours = /^(?:npm_|NODE_ENV|NODE_OPTIONS|VITEST|LEAKBENCH)/u;
  const kept = Object.entries(process.env).filter(([name]) => !ours.test(name));
  return { ...Object.fromEntries(kept), PATH: `${nodes}${delimiter}${process.env['PATH'] ?? ''}` };
}

test('README has a line for each of the four', () => {
  expect(SERVE).toBe('npx leakbench serve');
  expect(OTHERS.map((line) => /^(?:npx leakbench )?(\S+)/u.exec(line)?.[1])).toEqual([
    'drill',
    'seek',
    'cp',
    'survey',
  ]);
});

test('npm ci in a clone has nothing to warn of, on the oldest Node', { timeout: NODE_MS_MAX }, () => {
  const cwd = freshFolder();
  const read = (file: string): string => readFileSync(join(packageRoot(), file), 'utf8');
  // Even a dry run would build.
  const { scripts, ...described } = JSON.parse(read('package.json')) as Record<string, unknown>;
  expect(scripts).toBeDefined();
  writeFileSync(join(cwd, 'package.json'), JSON.stringify(described));
  writeFileSync(join(cwd, 'package-lock.json'), read('package-lock.json'));
  const options = ['--dry-run', '--engine-strict', '--strict-allow-scripts', '--loglevel', 'warn'];
  const env = environment(nodeFolder(Math.min(...NODES)));
  const { status, stderr } = spawnSync('npm', ['ci', ...options], { cwd, env, encoding: 'utf8' });
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
});

describe.each(NODES)('on Node %i', (major) => {
  test('installs without a word about engines, serves, drills, seeks and surveys', {
    timeout: NODE_MS_MAX,
  }, async () => {
    const cwd = freshFolder();
    const env = environment(nodeFolder(major));
    const ran = (line: string) =>
      spawnSync('bash', ['-c', line], { cwd, env, encoding: 'utf8', timeout: LINE_MS_MAX });
    expect(ran('node --version').stdout).toMatch(new RegExp(`^v${major}\\.`, 'u'));

    const install = ran(INSTALL.replace(/PATH\/leakbench-\d+\.\d+\.\d+\.tgz/u, tarball));
    expect(install.status, install.stderr).toBe(0);
    expect(install.stderr).not.toMatch(/EBADENGINE|deprecated/u);
    expect(existsSync(join(cwd, 'node_modules/vitest'))).toBe(false);

    const bench = await served(cwd, env);
    try {
      await expectWholeBench(bench.page);
      for (const line of OTHERS) {
        const { status, stdout, stderr } = ran(line.replace('tcp://127.0.0.1:1502', bench.bus));
        expect(status, `${line}\n${stdout}${stderr}`).toBe(0);
        expect(stderr).not.toMatch(/Warning/u);
      }
    } finally {
      await bench.stop();
    }
    expect(readFileSync(join(cwd, 'verdict.html'), 'utf8')).toContain('Simulation and training only');
  });
});

/** README's line, on ports of the system's choice. */
async function served(cwd: string, env: NodeJS.ProcessEnv) {
  const line = `exec ${SERVE} --port 0 --bus tcp://127.0.0.1:0`;
  const child = spawn('bash', ['-c', line], {
    cwd,
    env,
    detached: true,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const ended = new Promise((resolve) => child.on('close', resolve));
  const said = await new Promise<string>((resolve, reject) => {
    let text = '';
    child.stderr.on('data', (chunk: Buffer) => {
      text += chunk.toString();
      if (text.includes('Ctrl-C')) resolve(text);
    });
    void ended.then(() => {
      reject(new Error(text));
    });
  });
  return {
    page: /page (http:\S+)/u.exec(said)?.[1] ?? '',
    bus: /main (tcp:\S+)/u.exec(said)?.[1] ?? '',
    // As Ctrl-C does: to all that the line has started.
    stop: async () => {
      process.kill(-(child.pid ?? Number.NaN), 'SIGINT');
      await ended;
    },
  };
}

/** Page with all it loads, drills, lessons and the documents of the API. */
async function expectWholeBench(page: string): Promise<void> {
  const text = async (path: string): Promise<string> => {
    const answer = await fetch(new URL(path, page));
    expect(answer.status, path).toBe(200);
    return answer.text();
  };
  for (const path of ['/', '/join/']) {
    const html = await text(path);
    const loaded = [...html.matchAll(/(?:src|href)="([^"#]+)"/gu)].map(([, file = '']) => file);
    expect(loaded.length).toBeGreaterThan(1);
    for (const file of loaded) await text(new URL(file, new URL(path, page)).pathname);
  }
  const { drills } = JSON.parse(await text('/api/v1/drills')) as { drills: readonly { id: string }[] };
  const ids = drills.map(({ id }) => id);
  for (const folder of ['library', 'lessons']) {
    const there = readdirSync(join(packageRoot(), 'sim/drill', folder)).filter((file) =>
      file.includes('.drill.'),
    );
    expect(ids).toEqual(expect.arrayContaining(there.map((file) => file.replace('.drill.yaml', ''))));
  }
  await text('/docs/');
  await text('/openapi.json');
}
