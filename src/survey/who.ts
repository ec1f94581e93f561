/** Who somebody is, as a clause: what it says of itself, and what its registers turned out to be. */
import type { Present } from './look.ts';

export function whoText({ identity, fit, serial }: Present): string {
  const said =
    identity === null
      ? []
      : [identity.product, identity.maker === '' ? '' : `of ${identity.maker}`, identity.model];
  const name = said.filter((part) => part !== '').join(' ');
  const number = serial === '' ? (identity?.own ?? '') : serial;
  const parts = [
    name === '' ? 'a device that does not say what it is' : `“${name}”`,
    ...(fit === null || fit.kind === 'none' ? [] : [`profile ${fit.codec.profile.name}`]),
    ...(number === '' ? [] : [`serial ${number}`]),
  ];
  return parts.join(', ');
}
