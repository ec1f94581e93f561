/** `--controller`: who decides. */
import { EXIT, Stop } from './stop.ts';

export type Controller =
  | { readonly kind: 'builtin' | 'external' }
  | { readonly kind: 'exec'; readonly command: string };

const EXEC = 'exec:';

/** Of a verb that knows virtual time alone. */
export function virtualController({ controller }: { controller: string }): Controller {
  if (controller === 'builtin' || controller.startsWith(EXEC)) return controllerOf({ controller });
  const live = 'external polls over real sockets, as in drill --live';
  throw new Stop(EXIT.usage, `--controller takes builtin or exec:COMMAND here; ${live}`);
}

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
