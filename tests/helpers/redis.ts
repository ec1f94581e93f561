/** Debian's redis-server, started by a test on a port that was free, with nothing on disk. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { type AddressInfo, connect, createServer } from 'node:net';
import { freshFolder } from './bench-process.ts';

export interface RedisServer {
  readonly child: ChildProcess;
  readonly port: number;
  readonly url: string;
  stop(): Promise<void>;
}

export async function startRedis(...options: readonly string[]): Promise<RedisServer> {
  const port = await freePort();
  const plain = ['--bind', '127.0.0.1', '--save', '', '--appendonly', 'no', '--dir', freshFolder()];
  const child = spawn('redis-server', ['--port', String(port), ...plain, ...options], { stdio: 'ignore' });
  const ended = once(child, 'exit');
  while (!(await listens(port))) await new Promise((resolve) => setTimeout(resolve, 50));
  return {
    ...{ child, port, url: `redis://127.0.0.1:${port}` },
    stop: async () => {
      child.kill('SIGKILL');
      await ended;
    },
  };
}

/** One that nobody listens at. */
export async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

function listens(port: number): Promise<boolean> {
  const socket = connect(port, '127.0.0.1');
  return new Promise((resolve) => {
    socket.on('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.on('error', () => {
      resolve(false);
    });
  });
}
