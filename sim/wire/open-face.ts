/** The face that an address asks for. */
import type { BusAddress } from '../../src/rig/index.ts';
import type { Face } from './face.ts';
import type { After } from './outlet.ts';
import { openSerialFace } from './serial-face.ts';
import type { Serve } from './serve.ts';
import { openTcpFace } from './tcp-face.ts';

export interface FaceOptions {
  readonly serve: Serve;
  /** Peers of a socket that may connect; empty: any. A serial line has no peers. */
  readonly allow: readonly string[];
  readonly after: After;
}

/** Rejects as the faces do: PortInUse, SerialMissing, SerialUnusable, or the system's own error. */
export function openFace(address: BusAddress, { serve, allow, after }: FaceOptions): Promise<Face> {
  if (address.kind === 'rtu') return openSerialFace({ address, serve, after });
  const { kind, host, port } = address;
  const framing = kind === 'tcp' ? 'mbap' : 'rtu';
  return openTcpFace({ host, port, framing, serve, after, ...(allow.length > 0 ? { allow } : {}) });
}
