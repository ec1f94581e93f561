/**
 * Programs that are not ours, as judges of our wire: whether they are here, and how they are run.
 *
 * In CI a missing tool is a failure; elsewhere the test is skipped and says what to install.
 */
import { spawn } from 'node:child_process';
import type { TestContext } from 'vitest';

export const TSHARK = 'tshark';

interface Tool {
  readonly probe: readonly string[];
  readonly packages: readonly string[];
  /** What it takes besides. */
  readonly and?: string;
}

/** How to find out that a tool works here, and the Debian packages that bring it. */
const TOOLS = {
  faketime: { probe: ['faketime', '--version'], packages: ['faketime'] },
  fish: { probe: ['fish', '--version'], packages: ['fish'] },
  gcc: { probe: ['gcc', '--version'], packages: ['gcc'] },
  libmodbus: { probe: ['pkg-config', '--exists', 'libmodbus'], packages: ['libmodbus-dev', 'pkg-config'] },
  // Debian's own Python: it is the one that has Debian's packages.
  pymodbus: {
    probe: ['/usr/bin/python3', '-c', 'import pymodbus.client'],
    packages: ['python3-pymodbus', 'python3-serial-asyncio'],
  },
  redis: { probe: ['redis-server', '--version'], packages: ['redis-server'] },
  socat: { probe: ['socat', '-V'], packages: ['socat'] },
  // Opens the device, so it also finds out whether this user may capture.
  tshark: { probe: [TSHARK, '-i', 'lo', '-L'], packages: ['tshark'], and: 'the right to capture on lo' },
  zsh: { probe: ['zsh', '--version'], packages: ['zsh'] },
} as const satisfies Record<string, Tool>;

export const TOOL_PACKAGES: readonly string[] = Object.values(TOOLS).flatMap(({ packages }) => packages);

export type ToolName = keyof typeof TOOLS;

/** Skips the test with the reason when a tool does not work here; in CI it fails instead. */
export async function requireTool(context: TestContext, ...names: readonly ToolName[]): Promise<void> {
  const { CI } = process.env;
  for (const name of names) {
    const tool: Tool = TOOLS[name];
    const { code } = await run(tool.probe);
    if (code === 0) continue;
    const install = [...tool.packages, ...(tool.and === undefined ? [] : [tool.and])].join(' and ');
    const reason = `${name} does not work here: install ${install}`;
    if (CI !== undefined) throw new Error(reason);
    context.skip(reason);
  }
}

interface Ran {
  /** Null when the program could not be started or was killed. */
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a program to its end; that it is missing or fails is in the result. */
export async function run(command: readonly string[], input = ''): Promise<Ran> {
  const [program = '', ...options] = command;
  const child = spawn(program, options, { stdio: 'pipe' });
  // One that does not read, or is not there, closes its end: the result tells why.
  child.stdin.on('error', () => undefined);
  child.stdin.end(input);
  const [stdout, stderr] = [collected(child.stdout), collected(child.stderr)];
  const code = await new Promise<number | null>((settle) => {
    child.on('error', () => {
      settle(null);
    });
    child.on('close', settle);
  });
  return { code, stdout: stdout.text(), stderr: stderr.text() };
}

/** What has come so far, as text. */
export function collected(stream: NodeJS.ReadableStream): { text: () => string } {
  let text = '';
  stream.setEncoding('utf8');
  stream.on('data', (chunk: string) => {
    text += chunk;
  });
  return { text: () => text };
}

/** The lines of a decoder's output; throws when it fails. */
export async function lines(command: readonly string[]): Promise<readonly string[]> {
  const { code, stdout, stderr } = await run(command);
  if (code !== 0) throw new Error(`${command[0]} ended with ${code}: ${stderr}`);
  return stdout.split('\n').filter((line) => line !== '');
}
