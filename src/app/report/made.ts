/** What a report says of its own making. */
import { packageVersion } from '../package-version.ts';

export interface Made {
  readonly at: Date;
  readonly version: string;
  /** Of Node.js, as `process.version`. */
  readonly node: string;
}

export function madeHere(): Made {
  return { at: new Date(), version: packageVersion(), node: process.version };
}
