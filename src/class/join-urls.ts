/** The addresses at which phones find a class, by where the bench listens. */

/** As a server tells where it listens; a wildcard is every address of the machine. */
export interface Listening {
  readonly address: string;
  readonly port: number;
}

/** Of one network interface of the machine. */
export interface OwnAddress {
  readonly address: string;
  readonly internal: boolean;
}

export interface JoinAddresses {
  /** The likeliest first. */
  readonly joinUrls: string[];
  /** False where nobody but this machine can come. */
  readonly reachable: boolean;
}

const WILDCARDS: readonly string[] = ['0.0.0.0', '::'];
const LOOPBACK = /^(?:127\.|::1$|::ffff:127\.)/u;
/** RFC 4291 section 2.5.6: good on one link alone, and no browser takes the zone that it needs. */
const LINK_LOCAL = /^(?:fe[89ab]|169\.254\.)/iu;
/** RFC 1918, by how often a building’s network uses which; a container’s own network is likelier the last. */
const LIKELIEST = [/^192\.168\./u, /^10\./u, /^172\.(?:1[6-9]|2\d|3[01])\./u] as const;

export function joinAddresses(
  listening: readonly Listening[],
  own: readonly OwnAddress[],
  code: string,
): JoinAddresses {
  const outside = listening.flatMap(({ address, port }) =>
    outsideOf(address, own).map((one) => ({ address: one, port })),
  );
  const reachable = outside.length > 0;
  const found = reachable ? outside.sort((a, b) => rank(a.address) - rank(b.address)) : listening.map(here);
  const urls = found.map(({ address, port }) => `http://${inUrl(address)}:${port}/join/?code=${code}`);
  return { joinUrls: [...new Set(urls)], reachable };
}

/** What others can reach of an address that is listened on. */
function outsideOf(address: string, own: readonly OwnAddress[]): readonly string[] {
  if (!WILDCARDS.includes(address)) return LOOPBACK.test(address) ? [] : [address];
  return own
    .filter((one) => !one.internal && !LINK_LOCAL.test(one.address))
    .map((one) => one.address)
    .filter((one) => address === '::' || !one.includes(':'));
}

/** Before IPv6, whose addresses nobody types, and networks that are no building’s. */
function rank(address: string): number {
  const row = LIKELIEST.findIndex((pattern) => pattern.test(address));
  if (row >= 0) return row;
  return address.includes(':') ? LIKELIEST.length + 1 : LIKELIEST.length;
}

/** A wildcard is where one listens, not where one goes to. */
function here({ address, port }: Listening): Listening {
  if (!WILDCARDS.includes(address)) return { address, port };
  return { address: address === '::' ? '::1' : '127.0.0.1', port };
}

function inUrl(address: string): string {
  return address.includes(':') ? `[${address}]` : address;
}
