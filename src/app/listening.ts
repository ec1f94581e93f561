/** Why a line cannot listen, as a person should hear it. */
import { PortInUse } from '../../sim/wire/tcp-face.ts';
import { EXIT, Stop } from './stop.ts';

/** What to throw in place of the error of a face; any other error as it is. */
export function cannotListen(error: unknown): unknown {
  if (error instanceof PortInUse) {
    return new Stop(
      EXIT.surroundings,
      `port ${error.port} on ${error.host} is in use; end what listens there, or choose another with --bus tcp://HOST:PORT`,
    );
  }
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return code === ''
    ? error
    : new Stop(EXIT.surroundings, `a line cannot listen (${code}); check its address`);
}
