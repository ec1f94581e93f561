/**
 * RTU before clients that are not ours: three devices on one serial port, and the same three through a
 * socket.
 *
 * libmodbus has no RTU over TCP, so that face has pymodbus alone.
 */
import { open } from 'node:fs/promises';
import { describe, expect, type TestContext, test } from 'vitest';
import type { Face } from '../../sim/wire/face.ts';
import { openFace } from '../../sim/wire/open-face.ts';
import { inRealTime } from '../../sim/wire/outlet.ts';
import type { BusAddress } from '../../src/rig/index.ts';
import { ptyPair } from '../helpers/pty-pair.ts';
import { smallDevice } from '../sim/wire/small-device.ts';
import { startCapture, stopCapture } from './capture.ts';
import { converse, EXCEPTIONS_HEARD, isSilence } from './conversation.ts';
import { askAll, type OutsideClient } from './outside-clients.ts';
import { requireTool } from './outside-tools.ts';

const UNITS = [11, 12, 13] as const;
const NOBODY = 14;
const BROADCAST = 0;

type Finished = TestContext['onTestFinished'];

/**
 * A pseudo-terminal has no parity bit: the system takes the setting and forgets it, libmodbus does not look,
 * and Python's serial package fails when it finds it gone. So pymodbus asks for none; no bit of it is on the
 * wire either way.
 */
const SETTINGS = { kind: 'rtu', baud: 19_200, parity: 'even', stopBits: 1 } as const;
const WITHOUT_PARITY = { ...SETTINGS, parity: 'none', stopBits: 2 } as const;

/** Opens a face with three devices behind it; returns where a client finds it. */
async function threeDevices(address: BusAddress, atEnd: Finished): Promise<Face> {
  const devices = UNITS.map((unit) => smallDevice(unit));
  const face = await openFace(address, {
    allow: [],
    after: inRealTime,
    serve: (unit, pdu) => devices.map(({ serve }) => serve(unit, pdu)).find((answer) => answer !== undefined),
  });
  atEnd(() => face.close());
  return face;
}

interface Begun {
  /** Where the client asks. */
  readonly bus: BusAddress;
  readonly made: Face;
}

async function onSerialPort(client: OutsideClient, atEnd: Finished): Promise<Begun> {
  const pair = await ptyPair();
  atEnd(() => pair.remove());
  const [ours, theirs] = pair.paths;
  const settings = client === 'pymodbus' ? WITHOUT_PARITY : SETTINGS;
  const made = await threeDevices({ ...settings, path: ours }, atEnd);
  // A cable whose far end nobody has open would count as pulled out between two clients.
  const farEnd = await open(theirs, 'r+');
  atEnd(() => farEnd.close());
  return { bus: { ...settings, path: theirs }, made };
}

async function throughSocket(_: OutsideClient, atEnd: Finished): Promise<Begun> {
  const made = await threeDevices({ kind: 'rtu+tcp', host: '127.0.0.1', port: 0 }, atEnd);
  return { bus: made.address, made };
}

const CASES = [
  ['libmodbus on a serial port', 'libmodbus', onSerialPort],
  ['pymodbus on a serial port', 'pymodbus', onSerialPort],
  ['pymodbus through a socket', 'pymodbus', throughSocket],
] as const;

describe.concurrent.each(CASES)('%s', (_, client, begin) => {
  const begun = async (context: TestContext): Promise<Begun> => {
    await requireTool(context, ...(client === 'libmodbus' ? (['gcc', client] as const) : [client]));
    if (begin === onSerialPort) await requireTool(context, 'socat');
    return begin(client, context.onTestFinished);
  };

  test('uses every function of each of three devices', async (context) => {
    const { bus, made } = await begun(context);
    const asked = await conversedWithAll(client, bus);
    expect(made.stats()).toMatchObject({ requests: asked, answers: asked, thrownAway: 0 });
  });

  test('hears nothing from a unit that nobody owns, and the others afterwards', async (context) => {
    const { bus, made } = await begun(context);
    const read = (unit: number) => ({ unit, functionCode: 4, address: 1, count: 1 });
    const answers = await askAll(client, bus, [NOBODY, ...UNITS].map(read));
    expect(isSilence(answers[0])).toBe(true);
    expect(answers.slice(1)).toEqual(UNITS.map(() => ({ values: [3] })));
    expect(made.stats()).toMatchObject({ requests: 4, answers: 3, thrownAway: 0 });
  });

  test('is obeyed by all when it writes to all, and hears no answer', async (context) => {
    const { bus, made } = await begun(context);
    expect(await writtenToAll(client, bus)).toEqual(UNITS.map(() => ({ values: [77] })));
    expect(made.stats()).toMatchObject({ requests: 4, answers: 3, thrownAway: 0 });
  });
});

test.concurrent('tshark takes apart all that goes through a socket, no checksum wrong', async (context) => {
  await requireTool(context, 'tshark', 'pymodbus');
  const { bus, made } = await throughSocket('pymodbus', context.onTestFinished);
  if (bus.kind === 'rtu') throw new Error('a socket has a port');
  const capture = await startCapture(bus.port);
  const asked = await conversedWithAll('pymodbus', bus);
  const decoded = await stopCapture(capture, 'rtu+tcp');
  const exceptions = UNITS.length * EXCEPTIONS_HEARD;
  expect(decoded).toEqual({ requests: asked, responses: asked, exceptions, malformed: [], strange: [] });
  expect(made.stats()).toMatchObject({ requests: asked, answers: asked });
});

/** How many requests that were; a socket has room for all at once, a serial port for one after the other. */
async function conversedWithAll(client: OutsideClient, bus: BusAddress): Promise<number> {
  if (bus.kind !== 'rtu') {
    const asked = await Promise.all(UNITS.map((unit) => converse(client, bus, unit)));
    return asked.reduce((sum, count) => sum + count, 0);
  }
  let asked = 0;
  for (const unit of UNITS) asked += await converse(client, bus, unit);
  return asked;
}

/** What each device holds after a broadcast; both clients wait for an answer to it, in vain. */
async function writtenToAll(client: OutsideClient, bus: BusAddress): Promise<readonly unknown[]> {
  const write = { unit: BROADCAST, functionCode: 6, address: 5, count: 1, values: [77] };
  const reads = UNITS.map((unit) => ({ unit, functionCode: 3, address: 5, count: 1 }));
  const [broadcast, ...others] = await askAll(client, bus, [write, ...reads]);
  expect(isSilence(broadcast)).toBe(true);
  return others;
}
