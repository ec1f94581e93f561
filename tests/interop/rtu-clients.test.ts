/**
 * RTU before clients that are not ours: three devices on one serial port, and the same three through a
 * socket.
 *
 * libmodbus has no RTU over TCP, so that face has pymodbus alone.
 */
import { type FileHandle, open } from 'node:fs/promises';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Face } from '../../sim/wire/face.ts';
import { openFace } from '../../sim/wire/open-face.ts';
import { inRealTime } from '../../sim/wire/outlet.ts';
import type { BusAddress } from '../../src/rig/index.ts';
import { type PtyPair, ptyPair } from '../helpers/pty-pair.ts';
import { smallDevice } from '../sim/wire/small-device.ts';
import { startCapture, stopCapture } from './capture.ts';
import { converse, EXCEPTIONS_HEARD, isSilence } from './conversation.ts';
import { askAll, type OutsideClient } from './outside-clients.ts';
import { requireTool } from './outside-tools.ts';

const UNITS = [11, 12, 13] as const;
const NOBODY = 14;
const BROADCAST = 0;

let face: Face | undefined;
let pair: PtyPair | undefined;
/** A cable whose far end nobody has open would count as pulled out between two clients. */
let farEnd: FileHandle | undefined;

afterEach(async () => {
  await face?.close();
  await farEnd?.close();
  await pair?.remove();
  [face, farEnd, pair] = [undefined, undefined, undefined];
});

/**
 * A pseudo-terminal has no parity bit: the system takes the setting and forgets it, libmodbus does not look,
 * and Python's serial package fails when it finds it gone. So pymodbus asks for none; no bit of it is on the
 * wire either way.
 */
const SETTINGS = { kind: 'rtu', baud: 19_200, parity: 'even', stopBits: 1 } as const;
const WITHOUT_PARITY = { ...SETTINGS, parity: 'none', stopBits: 2 } as const;

/** Opens a face with three devices behind it; returns where a client finds it. */
async function threeDevices(address: BusAddress): Promise<Face> {
  const devices = UNITS.map((unit) => smallDevice(unit));
  face = await openFace(address, {
    allow: [],
    after: inRealTime,
    serve: (unit, pdu) => devices.map(({ serve }) => serve(unit, pdu)).find((answer) => answer !== undefined),
  });
  return face;
}

interface Begun {
  /** Where the client asks. */
  readonly bus: BusAddress;
  readonly made: Face;
}

async function onSerialPort(client: OutsideClient): Promise<Begun> {
  pair = await ptyPair();
  const [ours, theirs] = pair.paths;
  const settings = client === 'pymodbus' ? WITHOUT_PARITY : SETTINGS;
  const made = await threeDevices({ ...settings, path: ours });
  farEnd = await open(theirs, 'r+');
  return { bus: { ...settings, path: theirs }, made };
}

async function throughSocket(): Promise<Begun> {
  const made = await threeDevices({ kind: 'rtu+tcp', host: '127.0.0.1', port: 0 });
  return { bus: made.address, made };
}

const CASES = [
  ['libmodbus on a serial port', 'libmodbus', onSerialPort],
  ['pymodbus on a serial port', 'pymodbus', onSerialPort],
  ['pymodbus through a socket', 'pymodbus', throughSocket],
] as const;

describe.each(CASES)('%s', (_, client, begin) => {
  beforeEach(async (context) => {
    await requireTool(context, ...(client === 'libmodbus' ? (['gcc', client] as const) : [client]));
    if (begin === onSerialPort) await requireTool(context, 'socat');
  });

  test('uses every function of each of three devices', async () => {
    const { bus, made } = await begin(client);
    let asked = 0;
    for (const unit of UNITS) asked += await converse(client, bus, unit);
    expect(made.stats()).toMatchObject({ requests: asked, answers: asked, thrownAway: 0 });
  });

  test('hears nothing from a unit that nobody owns, and the others afterwards', async () => {
    const { bus, made } = await begin(client);
    const read = (unit: number) => ({ unit, functionCode: 4, address: 1, count: 1 });
    const answers = await askAll(client, bus, [NOBODY, ...UNITS].map(read));
    expect(isSilence(answers[0])).toBe(true);
    expect(answers.slice(1)).toEqual(UNITS.map(() => ({ values: [3] })));
    expect(made.stats()).toMatchObject({ requests: 4, answers: 3, thrownAway: 0 });
  });

  test('is obeyed by all when it writes to all, and hears no answer', async () => {
    const { bus, made } = await begin(client);
    expect(await writtenToAll(client, bus)).toEqual(UNITS.map(() => ({ values: [77] })));
    expect(made.stats()).toMatchObject({ requests: 4, answers: 3, thrownAway: 0 });
  });
});

test('tshark takes apart every request and answer through a socket, none with a wrong checksum', async (context) => {
  await requireTool(context, 'tshark', 'pymodbus');
  const { bus, made } = await throughSocket();
  if (bus.kind === 'rtu') throw new Error('a socket has a port');
  const capture = await startCapture(bus.port);
  let asked = 0;
  for (const unit of UNITS) asked += await converse('pymodbus', bus, unit);
  const decoded = await stopCapture(capture, 'rtu+tcp');
  const exceptions = UNITS.length * EXCEPTIONS_HEARD;
  expect(decoded).toEqual({ requests: asked, responses: asked, exceptions, malformed: [], strange: [] });
  expect(made.stats()).toMatchObject({ requests: asked, answers: asked });
});

/** What each device holds after a broadcast; both clients wait for an answer to it, in vain. */
async function writtenToAll(client: OutsideClient, bus: BusAddress): Promise<readonly unknown[]> {
  const write = { unit: BROADCAST, functionCode: 6, address: 5, count: 1, values: [77] };
  const reads = UNITS.map((unit) => ({ unit, functionCode: 3, address: 5, count: 1 }));
  const [broadcast, ...others] = await askAll(client, bus, [write, ...reads]);
  expect(isSilence(broadcast)).toBe(true);
  return others;
}
