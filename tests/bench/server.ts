/**
 * One server to measure, in a process of its own: `server KIND`, or `server KIND PATH` for a serial port.
 * Says its TCP port in a message, 0 for a serial one.
 */
import { once } from 'node:events';
import { type AddressInfo, createServer } from 'node:net';
import { ServerSerial, ServerTCP } from 'modbus-serial';
import { openTcpFace } from '../../sim/wire/tcp-face.ts';
import { LiveWorld, World } from '../../sim/world/index.ts';
import { benchClock } from '../../src/clock/index.ts';
import type { BusAddress } from '../../src/rig/index.ts';
import { ms } from '../../src/units/index.ts';
import { demoRig } from '../helpers/demo.ts';
import { smallDevice } from '../sim/wire/small-device.ts';
import { ANSWER_BEGINS, ANSWER_BYTES, REQUEST_BYTES, UNIT } from './request.ts';

const HOST = '127.0.0.1';
/** As MB-SER has it; through a pseudo-terminal bytes take no time, whatever the speed. */
const SERIAL = { baud: 19_200, parity: 'even', stopBits: 1 } as const;

/** What modbus-serial asks for values. */
const VECTOR = {
  getMultipleInputRegisters: (address: number, length: number) =>
    Array.from({ length }, (_, at) => 3 * (address + at)),
};

const SERVERS = {
  world,
  small,
  echo,
  'modbus-serial': modbusSerial,
  'world-on-serial': worldOnSerial,
  'modbus-serial-on-serial': modbusSerialOnSerial,
} as const;

export type ServerKind = keyof typeof SERVERS;

// Not a signal, at which no profile would be written.
process.on('disconnect', () => process.exit());
process.send?.(await SERVERS[process.argv[2] as ServerKind](process.argv[3] ?? ''));

async function world(): Promise<number> {
  const open = await worldAt({ kind: 'tcp', host: HOST, port: 0 });
  if (open.kind === 'rtu') throw new Error('no TCP port was opened');
  return open.port;
}

async function worldOnSerial(path: string): Promise<number> {
  await worldAt({ kind: 'rtu', path, ...SERIAL });
  return 0;
}

/** The demo rig's world as `leakbench sim` has it: real time, faults looked up at each request, none set. */
async function worldAt(address: BusAddress): Promise<BusAddress> {
  const rig = demoRig();
  const options = { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe: () => undefined };
  const live = new LiveWorld(new World(rig, options), benchClock(1));
  await live.listen(() => [address]);
  const [open] = live.addresses;
  if (open === undefined) throw new Error('nothing was opened');
  return open.address;
}

/** The face alone, with little behind it: what is missing to `world` is the world. */
async function small(): Promise<number> {
  const face = await openTcpFace({ host: HOST, port: 0, serve: smallDevice().serve });
  return face.address.port;
}

/** As fast as a Node process gets: no request is read, the answer's bytes are always the same. */
async function echo(): Promise<number> {
  const answer = Buffer.alloc(ANSWER_BYTES, Uint8Array.from(ANSWER_BEGINS));
  const answers = Buffer.concat(Array.from({ length: 64 }, () => answer));
  const server = createServer({ noDelay: true }, (socket) => {
    let bytes = 0;
    socket.on('error', () => undefined);
    socket.on('data', (chunk) => {
      bytes += chunk.length;
      const requests = Math.floor(bytes / REQUEST_BYTES);
      bytes -= requests * REQUEST_BYTES;
      socket.write(answers.subarray(0, requests * ANSWER_BYTES));
    });
  });
  server.listen(0, HOST);
  await once(server, 'listening');
  return (server.address() as AddressInfo).port;
}

/** All its own settings; on a serial port it waits 30 ms for the end of each request. */
async function modbusSerialOnSerial(path: string): Promise<number> {
  const { baud, parity } = SERIAL;
  const server = new ServerSerial(VECTOR, { path, baudRate: baud, parity, unitID: UNIT });
  await once(server, 'initialized');
  return 0;
}

async function modbusSerial(): Promise<number> {
  // It takes no port 0 and does not say which it got: this one is asked of the system first.
  const port = await freePort();
  const server = new ServerTCP(VECTOR, { host: HOST, port, unitID: UNIT });
  await once(server, 'initialized');
  return port;
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, HOST);
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  return port;
}
