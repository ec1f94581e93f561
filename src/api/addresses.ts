/** Names and addresses: what is this machine alone, and what is one and the same place. */

/** Names under which a browser on this machine reaches it, and nobody else's name server can give away. */
const LOOPBACK_HOST = /^(?:localhost|127(?:\.\d{1,3}){3}|\[::1\])$/iu;
const PORT = /:\d{1,5}$/u;

/** `host` as --host takes it: a name, an IPv4 address, an IPv6 address with or without brackets. */
export function isLoopback(host: string): boolean {
  return LOOPBACK_HOST.test(host.includes(':') && !host.startsWith('[') ? `[${host}]` : host);
}

/** A Host header (RFC 9110 section 7.2) that names this machine by a loopback name. */
export function isLoopbackHeader(host: string | undefined): boolean {
  return host !== undefined && LOOPBACK_HOST.test(host.replace(PORT, ''));
}

/** An address of a peer as sockets give it. */
export function isLoopbackPeer(address: string): boolean {
  return isLoopback(address.replace(/^::ffff:/u, ''));
}

/**
 * The page that asks (its Origin, RFC 6454) came from the host that is asked. The scheme may differ, as
 * behind a proxy that ends TLS; the port is part of the host.
 */
export function isSameHost(origin: string, host: string | undefined): boolean {
  if (host === undefined || !URL.canParse(origin)) return false;
  const from = new URL(origin);
  const asked = `${from.protocol}//${host}`;
  return from.host !== '' && URL.canParse(asked) && new URL(asked).host === from.host;
}
