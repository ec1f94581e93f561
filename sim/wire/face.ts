/** What all faces of a line have in common, whatever they are made of. */
import type { BusAddress } from '../../src/rig/index.ts';
import type { Tally } from './dialogue.ts';

export interface Face<Stats extends Tally = Tally> {
  /** Where it really is: the port that the system gave where any was asked for. */
  readonly address: BusAddress;
  /** Ends all that goes on there; settles when all is gone, and may be called again. */
  readonly close: () => Promise<void>;
  readonly stats: () => Readonly<Stats>;
}
