/** `--controller`: who decides. */
import { EXIT, Stop } from './stop.ts';

export type Controller =
  | { readonly kind: 'builtin' | 'external' }
  | { readonly kind: 'exec'; readonly command: string };

const EXEC = 'exec:';

/** `live`: over real sockets, where an external controller can ask and one in lines cannot be spoken to. */
export function controllerOf({ controller, live }: { controller: string; live?: true }): Controller {
  if (controller === 'builtin') return { kind: 'builtin' };
  if (controller === 'external') {
    if (live === true) return { kind: 'external' };
    throw new Stop(EXIT.usage, '--controller external polls over real sockets: add --live');
  }
  const command = controller.startsWith(EXEC) ? controller.slice(EXEC.length).trim() : '';
  if (command === '') throw new Stop(EXIT.usage, '--controller takes builtin, external or exec:COMMAND');
  if (live !== true) return { kind: 'exec', command };
  throw new Stop(EXIT.usage, '--controller exec:COMMAND runs in virtual time: leave --live out');
}
