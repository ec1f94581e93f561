/** Opens the HTTP side to the network, or says in a sentence why not. */
import type { FastifyInstance } from 'fastify';
import { isLoopback } from './addresses.ts';
import type { Tokens } from './tokens.ts';

export type ListenTrouble = 'tokenNeeded' | 'portInUse' | 'notAllowed' | 'noSuchAddress' | 'failed';

export class ListenError extends Error {
  readonly kind: ListenTrouble;

  constructor(kind: ListenTrouble, message: string, cause?: unknown) {
    super(message, { cause });
    this.kind = kind;
  }
}

/**
 * Gives the address as `http://HOST:PORT`. Throws ListenError: `tokenNeeded` is a matter of usage, all else
 * of the surroundings. Port 0 lets the system choose.
 */
export async function listenApi(
  app: FastifyInstance,
  { host, port, tokens }: { readonly host: string; readonly port: number; readonly tokens: Tokens },
): Promise<string> {
  if (tokens.length === 0 && !isLoopback(host)) {
    throw new ListenError(
      'tokenNeeded',
      `${host} can be reached from elsewhere, so the page and the API take a token there: ` +
        'give one with --token or LEAKBENCH_TOKEN.',
    );
  }
  try {
    return await app.listen({ host: host.replace(/^\[(.+)\]$/u, '$1'), port });
  } catch (error) {
    throw whyNot(error, host, port);
  }
}

function whyNot(error: unknown, host: string, port: number): ListenError {
  switch (error instanceof Error && 'code' in error ? error.code : undefined) {
    case 'EADDRINUSE':
      return new ListenError(
        'portInUse',
        `Port ${port} of ${host} is in use: stop what listens there, or name another with --port.`,
        error,
      );
    case 'EACCES':
      return new ListenError(
        'notAllowed',
        `Port ${port} is not yours to open: name one from 1024 on with --port.`,
        error,
      );
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return new ListenError(
        'noSuchAddress',
        `This machine has no address ${host}: name one of its own with --host.`,
        error,
      );
    default:
      return new ListenError(
        'failed',
        `The page and the API cannot listen on ${host}:${port}: ${String(error)}.`,
        error,
      );
  }
}
