/** What the command line gives to the verbs that run a bench. */

export interface ServeOptions {
  readonly host: string;
  readonly port: number;
  readonly speed: number;
  readonly data: string;
  readonly seed: number;
  readonly token: readonly string[];
  readonly bus: readonly string[];
}
export interface SimOptions extends ServeOptions {
  readonly controllerPower?: string;
}
