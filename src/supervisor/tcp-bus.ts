/**
 * One line over Modbus TCP, through modbus-serial and a guard around it.
 *
 * What the guard owns, because modbus-serial 8.0 leaves it open: the deadline of every request and of the
 * connection (pending calls never settle after a close); a new connection after every time-out and every
 * mismatch (its transaction ids repeat, so a stale answer could pass for a new one); the unit id, set in the
 * same turn as the request; the number of words. One request is out at a time. Every trouble comes out as an
 * outcome; nothing here throws.
 */
import modbusSerial from 'modbus-serial';
import { CONNECT_MS_MAX, type LineWatcher, type Settled, within } from '../line/index.ts';
import type { TableRequest } from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import { addressText, type SocketAddress } from '../rig/index.ts';
import { messageOf } from '../text/message-of.ts';
import type { BusClient } from './bus.ts';

const BITS_PER_BYTE = 8;
const BITS_PER_REGISTER = 16;

/** The library calls it whether it is there or not. */
const noop = (): undefined => undefined;

type Client = InstanceType<typeof modbusSerial.default>;
type Late = Extract<Settled<never>, { kind: 'late' }>;

export function tcpBus(address: SocketAddress, watcher: LineWatcher): BusClient {
  const { host, port } = address;
  let client: Client | null = null;
  let closed = false;
  let abandonOut: (late: Late) => void = noop;
  /** A function, because the answer may change across an await. */
  const isClosed = (): boolean => closed;

  const drop = (reason: string): void => {
    const dropped = client;
    client = null;
    if (dropped === null) return;
    dropped.destroy(noop);
    watcher.dropped(reason);
  };
  const connected = async (): Promise<Client | null> => {
    // After a power cut nothing more happens on the wire, and nobody is told of anything.
    if (isClosed()) return null;
    if (client?.isOpen === true) return client;
    drop('the connection was closed by the other side');
    const fresh = new modbusSerial.default();
    // Without a listener an error event on an idle connection would end the process.
    fresh.on('error', () => undefined);
    const reached = await within(fresh.connectTCP(host, { port }), CONNECT_MS_MAX);
    if (reached.kind === 'done' && !isClosed()) {
      client = fresh;
      watcher.connected();
      return fresh;
    }
    fresh.destroy(noop);
    if (!isClosed())
      watcher.unreachable(reached.kind === 'failed' ? messageOf(reached.error) : 'nobody took it in time');
    return null;
  };

  return {
    address: addressText(address),
    async perform(unitId, request, timeoutMs) {
      const open = await connected();
      if (open === null) return { kind: 'silent' };
      open.setID(unitId);
      const abandoned = new Promise<Late>((resolve) => {
        abandonOut = resolve;
      });
      const settled = await Promise.race([within(send(open, request), timeoutMs), abandoned]);
      if (settled.kind === 'done') {
        const outcome = checked(settled.value, request);
        if (outcome.kind === 'mismatched') drop('an answer was not what was asked');
        return outcome;
      }
      if (settled.kind === 'late') {
        drop('no answer in time');
        return { kind: 'silent' };
      }
      const exception = exceptionOf(settled.error);
      if (exception !== null) return { kind: 'refused', exception };
      const gone = !open.isOpen;
      drop(messageOf(settled.error));
      return gone ? { kind: 'silent' } : { kind: 'mismatched', field: messageOf(settled.error) };
    },
    abandon() {
      abandonOut({ kind: 'late' });
    },
    close() {
      closed = true;
      client?.destroy(noop);
      client = null;
    },
  };
}

/** What modbus-serial resolves with, as far as we look at it. */
interface Reply {
  readonly data?: readonly (number | boolean)[];
  readonly buffer?: Uint8Array;
  readonly address?: number;
  readonly length?: number;
  readonly state?: boolean;
  readonly value?: number;
}

async function send(client: Client, request: TableRequest): Promise<Reply> {
  switch (request.functionCode) {
    case 1:
      return client.readCoils(request.address, request.quantity);
    case 2:
      return client.readDiscreteInputs(request.address, request.quantity);
    case 3:
      return client.readHoldingRegisters(request.address, request.quantity);
    case 4:
      return client.readInputRegisters(request.address, request.quantity);
    case 5:
      return client.writeCoil(request.address, request.value === 1);
    case 6:
      return client.writeRegister(request.address, request.value);
    case 15:
      return client.writeCoils(
        request.address,
        Array.from(request.values, (coil) => coil === 1),
      );
    case 16:
      return client.writeRegisters(request.address, Array.from(request.values));
  }
}

/**
 * The library does not hold the answer against the question: the run's length and the echo are ours to
 * check.
 */
function checked(reply: Reply, request: TableRequest): Outcome<ArrayLike<number>> {
  switch (request.kind) {
    case 'read': {
      const values = reply.data ?? [];
      // The byte count as it was sent; an odd one would still yield the right number of registers.
      const bits = request.functionCode <= 2 ? 1 : BITS_PER_REGISTER;
      const right = reply.buffer?.length === Math.ceil((request.quantity * bits) / BITS_PER_BYTE);
      if (!right) return { kind: 'mismatched', field: 'length' };
      return { kind: 'answered', answer: values.slice(0, request.quantity).map(Number) };
    }
    case 'writeOne': {
      const right = reply.address === request.address && Number(reply.state ?? reply.value) === request.value;
      return right ? ECHOED : { kind: 'mismatched', field: 'echo' };
    }
    case 'writeMany': {
      const right = reply.address === request.address && reply.length === request.values.length;
      return right ? ECHOED : { kind: 'mismatched', field: 'echo' };
    }
  }
}

const ECHOED: Outcome<ArrayLike<number>> = { kind: 'answered', answer: [] };

function exceptionOf(error: unknown): number | null {
  const code: unknown =
    typeof error === 'object' && error !== null && 'modbusCode' in error ? error.modbusCode : null;
  return typeof code === 'number' ? code : null;
}
