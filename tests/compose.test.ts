/**
 * docker-compose.yml without a Docker client: its form, its command lines by our own parser, and what its
 * services ask of each other. The form is what we use of the Compose specification; a key beyond it fails.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { commandLine } from '../src/app/command-line.ts';
import { packageRoot } from '../src/files/index.ts';

const duration = z.string().regex(/^\d+s$/u);
const service = z.strictObject({
  profiles: z.tuple([z.enum(['bench', 'split', 'seek'])]),
  image: z.string().optional(),
  build: z.strictObject({ context: z.literal('.'), dockerfile_inline: z.string() }).optional(),
  init: z.boolean().optional(),
  environment: z.record(z.string(), z.string()).default({}),
  command: z.array(z.string()),
  // Published on loopback alone.
  ports: z.array(z.string().regex(/^127\.0\.0\.1:\d+:\d+$/u)).default([]),
  volumes: z.array(z.string().regex(/^[a-z]+:\/[a-z]+$/u)).default([]),
  networks: z.array(z.string()),
  restart: z.enum(['on-failure', 'no']),
  deploy: z.strictObject({ replicas: z.int() }).optional(),
  stop_grace_period: duration.optional(),
  healthcheck: z
    .strictObject({ test: z.array(z.string()).min(2), interval: duration, retries: z.int() })
    .optional(),
  depends_on: z.record(z.string(), z.strictObject({ condition: z.literal('service_healthy') })).default({}),
});
const file = z.strictObject({
  'x-image': z.unknown(),
  services: z.record(z.string(), service),
  networks: z.record(z.string(), z.strictObject({})),
  volumes: z.record(z.string(), z.strictObject({})),
});

const written: unknown = parse(readFileSync(join(packageRoot(), 'docker-compose.yml'), 'utf8'), {
  merge: true,
});
const { services, networks, volumes } = file.parse(written);
const OURS = Object.entries(services).filter(([, { build }]) => build !== undefined);

interface Understood {
  readonly verb: string;
  readonly options: Readonly<Record<string, unknown>>;
}

/** What our own parser makes of a command line, without doing it. */
function understood(words: readonly string[]): Understood {
  const program = commandLine();
  const found: Understood[] = [];
  for (const verb of program.commands) {
    verb.configureOutput({ writeErr: () => undefined }).action(() => {
      found.push({ verb: verb.name(), options: verb.opts() });
    });
  }
  program.parse(words, { from: 'user' });
  const [one] = found;
  if (one === undefined) throw new Error(`nothing came of ${words.join(' ')}`);
  return one;
}

const portOf = (address: string): string => /:(\d+)$/u.exec(address)?.[1] ?? '';

test('has the three profiles, and names no network or volume that is not there or not used', () => {
  const all = Object.values(services);
  expect(new Set(all.flatMap(({ profiles }) => profiles))).toEqual(new Set(['bench', 'split', 'seek']));
  expect(new Set(all.flatMap((one) => one.networks))).toEqual(new Set(Object.keys(networks)));
  const used = all.flatMap((one) => one.volumes.map((volume) => volume.split(':')[0]));
  expect(new Set(used)).toEqual(new Set(Object.keys(volumes)));
  expect(used.length).toBe(new Set(used).size);
});

test('what a service waits for is of its profile and says when it is well', () => {
  for (const { profiles, depends_on: needs } of Object.values(services)) {
    for (const name of Object.keys(needs)) {
      expect(services[name]?.profiles, name).toEqual(profiles);
      expect(services[name]?.healthcheck, name).toBeDefined();
    }
  }
});

test('a command line that our parser would refuse is refused here', () => {
  expect(() => understood(['serve', '--hots', '0.0.0.0'])).toThrow(/unknown option/u);
  expect(() => understood(['serve', '--port', 'x'])).toThrow(/whole number/u);
});

describe.each(OURS)('%s', (name, { profiles, command, ports, volumes: mounted, environment, build }) => {
  test('is a command line that we take, of the built command', () => {
    expect(understood(command).verb).not.toBe('help');
    expect(build?.dockerfile_inline).toContain('ENTRYPOINT ["node", "dist/src/app/main.js"]');
  });

  test('listens beyond loopback only with a token that has to be set', () => {
    const { options } = understood(command);
    if (options['host'] !== undefined) expect(options['host']).toBe('0.0.0.0');
    expect(environment['LEAKBENCH_TOKEN']).toMatch(/^\$\{LEAKBENCH_TOKEN:\?/u);
  });

  test('publishes the ports that it listens on, and keeps its folder in a volume where it should last', () => {
    const { verb, options } = understood(command);
    const page = options['host'] === undefined ? [] : [String(options['port'])];
    const lines = profiles[0] === 'bench' ? (options['bus'] as readonly string[]).map(portOf) : [];
    expect(ports.map((one) => one.split(':').slice(1))).toEqual([...page, ...lines].map((one) => [one, one]));
    const lasting = mounted.map((one) => one.split(':')[1]);
    const kept = [
      options['data'],
      verb === 'seek' && options['worker'] !== true ? options['out'] : undefined,
    ];
    expect(lasting).toEqual(kept.filter((folder) => folder === '/data'));
  });

  test('asks only services that it waits for, where they listen', () => {
    const { options } = understood(command);
    const { bus = [], queue = '' } = options as { readonly bus?: readonly string[]; readonly queue?: string };
    for (const address of [...bus, queue]) {
      const host = /^\w+:\/\/([a-z]+)(?::\d+)?$/u.exec(address)?.[1];
      if (host === undefined) continue;
      expect(Object.keys(services[name]?.depends_on ?? {})).toContain(host);
      const other = services[host];
      if (other?.build === undefined) continue;
      expect((understood(other.command).options['bus'] as readonly string[]).map(portOf)).toContain(
        portOf(address),
      );
    }
  });
});
