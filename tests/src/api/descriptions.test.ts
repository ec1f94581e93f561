/** The two descriptions that a bench publishes: sound by an outside linter, and nothing left open. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { describe, expect, onTestFinished, test } from 'vitest';
import { asyncApi } from '../../../src/api/async-api.ts';
import { PROBLEMS } from '../../../src/api/problems.ts';
import { STREAM_CLOSE } from '../../../src/api/stream.ts';
import { CATALOGUE, typeOf } from '../../../src/events/index.ts';
import { packageRoot } from '../../../src/files/index.ts';
import { ask } from './ask.ts';
import { openApi } from './open-api.ts';

interface Operation {
  readonly operationId: string;
  readonly tags: readonly string[];
  readonly summary: string;
  readonly security: readonly Readonly<Record<string, readonly string[]>>[];
  readonly responses: Readonly<Record<string, { readonly description: string }>>;
}
interface Document {
  readonly tags: readonly { readonly name: string }[];
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly examples: object };
}

async function described(file: string): Promise<Document> {
  const { url } = await openApi();
  return JSON.parse((await ask(`${url}/${file}`)).text) as Document;
}

test('both are sound by the recommended rules of Redocly, with no error left out', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-described-'));
  onTestFinished(() => {
    rmSync(folder, { recursive: true });
  });
  const files = ['openapi.json', 'asyncapi.json'].map((name) => join(folder, name));
  for (const [index, file] of files.entries()) {
    writeFileSync(file, JSON.stringify(await described(index === 0 ? 'openapi.json' : 'asyncapi.json')));
  }
  const root = packageRoot();
  const redocly = join(root, 'node_modules/@redocly/cli/bin/cli.js');
  const config = ['--config', join(root, '.redocly.yaml')];
  const env = { ...process.env, REDOCLY_TELEMETRY: 'off', REDOCLY_SUPPRESS_UPDATE_NOTICE: 'true' };
  const ended = await promisify(execFile)(process.execPath, [redocly, 'lint', ...config, ...files], { env });
  expect(ended.stderr + ended.stdout).toMatch(/descriptions are valid/u);
});

describe('of the API', () => {
  test('every operation has a name, a tag, a sentence, its guard and its problems', async () => {
    const { paths, tags } = await described('openapi.json');
    const known = tags.map(({ name }) => name);
    const operations = Object.values(paths).flatMap((methods) => Object.values(methods));
    expect(new Set(operations.map(({ operationId }) => operationId)).size).toBe(operations.length);
    for (const { tags: own, summary, security, responses } of operations) {
      expect(own.filter((tag) => !known.includes(tag))).toEqual([]);
      expect(summary).toMatch(/\S/u);
      expect(security).toBeInstanceOf(Array);
      expect(responses).toHaveProperty('429');
      for (const { description } of Object.values(responses))
        expect(description).not.toBe('Default Response');
    }
  });

  test('roles are those of the guard', async () => {
    const { paths } = await described('openapi.json');
    const guard = (path: string, method: string) => paths[path]?.[method]?.security[0];
    expect(guard('/api/v1/now', 'get')).toEqual({ token: ['viewer'] });
    expect(guard('/api/v1/steps', 'post')).toEqual({ token: ['instructor'] });
    expect(guard('/api/v1/class', 'get')).toEqual({ token: ['instructor'] });
    expect(guard('/api/v1/seat', 'get')).toEqual({ seat: [] });
    expect(guard('/api/v1/seat', 'post')).toBeUndefined();
  });

  test('every problem but that of a page that is not built can be met in it', async () => {
    const { components } = await described('openapi.json');
    const met = Object.keys(components.examples);
    expect(Object.keys(PROBLEMS).filter((id) => !met.includes(id))).toEqual(['page-not-built']);
  });

  test.each(['openapi.json', 'asyncapi.json'])(
    'no schema of %s takes anything without saying so',
    async (file) => {
      expect(empty(await described(file), '')).toEqual([]);
    },
  );
});

test('of the stream names every event with its severity, and every way it ends', () => {
  const text = JSON.stringify(asyncApi('1.2.3'));
  for (const [id, { severity, source, fields }] of Object.entries(CATALOGUE)) {
    const message = `"name":"${typeOf(id as keyof typeof CATALOGUE)}","title":"${id}"`;
    expect(text).toContain(message);
    const schema = text.slice(text.indexOf(`"const":"leakbench.${id}"`));
    for (const field of Object.keys(fields.shape)) expect(schema).toContain(`"${field}":{`);
    const tags = text.slice(text.indexOf(message)).slice(0, 1000);
    expect(tags).toContain(`#/components/tags/${severity}"},{"$ref":"#/components/tags/${source}"`);
  }
  for (const { code, reason } of Object.values(STREAM_CLOSE)) {
    expect(text).toContain(`{"code":${code},"reason":"${reason}"}`);
  }
});

const TAKES_ALL = ['properties', 'security'];

/** Places where a schema is `{}`; a map of no properties is none, and neither is "no token". */
function empty(part: unknown, path: string): readonly string[] {
  if (typeof part !== 'object' || part === null) return [];
  const within = Object.entries(part).flatMap(([key, inner]) =>
    TAKES_ALL.includes(key) && Object.keys(inner as object).length === 0
      ? []
      : empty(inner, `${path}/${key}`),
  );
  const isOpen = !Array.isArray(part) && Object.keys(part).length === 0 && !/\/security\/\d+$/u.test(path);
  return isOpen ? [path] : within;
}
