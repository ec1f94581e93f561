/** What the command line gives to the verbs that run a bench. */

export interface ServeOptions {
  readonly host: string;
  readonly port: number;
  readonly speed: number;
  readonly data: string;
  /** What the record may hold, as written. */
  readonly recordLimit: string;
  readonly token: readonly string[];
  readonly bus: readonly string[];
}
/** Of a bench with sensors of its own. */
export interface SimOptions extends ServeOptions {
  readonly seed: number;
  /** Real time after which it ends by itself, as written. */
  readonly for?: string;
  /** At the end the poll report goes to standard output. */
  readonly json?: true;
  readonly controllerPower?: string;
}
