import { afterEach, describe, expect, test } from 'vitest';
import { WAITING_MAX } from '../../../sim/wire/gateway-queue.ts';
import { LiveWorld, type Observe, World } from '../../../sim/world/index.ts';
import { benchClock } from '../../../src/clock/index.ts';
import type { BusAddress, Pace, Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';
import { frame, framesOf, type RawClient, rawClient, rtu } from '../wire/raw-client.ts';

/** A character takes 1.1 ms. */
const PACE: Pace = { baud: 10_000, parity: 'even', stopBits: 1, timeoutMs: ms(200) };
const ANY_TCP = { kind: 'tcp', host: '127.0.0.1', port: 0 } as const;
const ANY_RTU = { ...ANY_TCP, kind: 'rtu+tcp' } as const;

const COIL_A = 11;
const FIELD_IO = 200;
const NOBODY = 77;
/** State and status bits of a sensor. */
const READ_TWO = [0x04, 0, 0, 0, 2] as const;
const TWO_BYTES = 4 + 2;

let ends: (() => unknown)[] = [];

afterEach(async () => {
  for (const end of ends.toReversed()) await end();
  ends = [];
});

function aWorld(rig: Rig, observe: Observe): World {
  return new World(rig, { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe });
}

async function live(rig: Rig, ...listen: readonly BusAddress[]): Promise<LiveWorld> {
  const clock = benchClock(1);
  const made = new LiveWorld(
    aWorld(rig, () => undefined),
    clock,
  );
  ends.push(
    () => {
      clock.stop();
    },
    () => made.close(),
  );
  await made.listen(() => listen);
  return made;
}

function paced(): Rig {
  const rig = demoRig();
  return { ...rig, lines: rig.lines.map((line) => ({ ...line, pace: PACE })) };
}

async function client(world: LiveWorld, at = 0): Promise<RawClient> {
  const address = world.addresses[at]?.address;
  const made = await rawClient(address?.kind === 'rtu' ? 0 : (address?.port ?? 0));
  ends.push(() => made.socket.destroy());
  return made;
}

test.each([ANY_TCP, ANY_RTU])('a line lets in only whom its rig names: %j', async (address) => {
  const rig = demoRig();
  const allow = ['127.0.0.2'];
  const world = await live({ ...rig, lines: rig.lines.map((line) => ({ ...line, allow })) }, address);
  const at = world.addresses[0]?.address;
  const port = at === undefined || at.kind === 'rtu' ? 0 : at.port;
  const stranger = await rawClient(port);
  await stranger.gone;
  expect(stranger.rest()).toHaveLength(0);
  const friend = await rawClient(port, { localAddress: '127.0.0.2' });
  ends.push(() => friend.socket.destroy());
  friend.send(
    address.kind === 'tcp' ? frame(1, FIELD_IO, 0x01, 0, 0, 0, 1) : rtu(FIELD_IO, 0x01, 0, 0, 0, 1),
  );
  expect((await friend.read(6)).length).toBe(6);
});

describe('a live world', () => {
  test('has every face of a line at once, each in its own frames, on the same devices', async () => {
    const world = await live(demoRig(), ANY_TCP, ANY_RTU);
    expect(world.addresses.map(({ line, address }) => [line, address.kind])).toEqual([
      ['main', 'tcp'],
      ['main', 'rtu+tcp'],
    ]);
    const [byTcp, byRtu] = [await client(world, 0), await client(world, 1)];
    const fanOn = [0x05, 0, 0, 0xff, 0] as const;
    byTcp.send(frame(1, FIELD_IO, ...fanOn));
    expect(framesOf(await byTcp.read(12))).toEqual([[1, FIELD_IO, ...fanOn]]);
    byRtu.send(rtu(FIELD_IO, 0x01, 0, 0, 0, 1));
    expect(await byRtu.read(6)).toEqual(Buffer.from(rtu(FIELD_IO, 0x01, 1, 1)));
  });
});

describe('a fresh start', () => {
  test('puts another world behind the same sockets; of the old one nothing happens any more', async () => {
    const seen: string[] = [];
    const world = await live(demoRig(), ANY_TCP);
    world.begin(aWorld(demoRig(), (one) => seen.push(`old ${one.kind}`)));
    world.apply(stepFor(demoRig(), { release: { at: 'cabinet', rate: '10 g/s', lasts: '20 ms' } }));
    const one = await client(world);
    const fanOn = [0x05, 0, 0, 0xff, 0] as const;
    one.send(frame(1, FIELD_IO, ...fanOn));
    await one.read(12);
    expect(seen).toContain('old release');

    world.begin(aWorld(demoRig(), (other) => seen.push(`new ${other.kind}`)));
    const before = seen.length;
    one.send(frame(2, FIELD_IO, 0x01, 0, 0, 0, 1));
    expect(framesOf(await one.read(10))).toEqual([[2, FIELD_IO, 0x01, 1, 0]]);
    // Longer than the release of the old world had to run.
    await new Promise((resolve) => setTimeout(resolve, 40));
    expect(world.picture().releaseGPerS).toBe(0);
    expect(seen.slice(before).filter((kind) => kind.startsWith('old'))).toEqual([]);
    expect(seen).toContain('new asked');
  });

  test('does not carry out what waited at a gateway for its turn with the old world', async () => {
    const rig = paced();
    const world = await live(rig, ANY_TCP);
    const one = await client(world);
    // The line is taken for a time-out; what comes next waits.
    one.send(frame(1, NOBODY, ...READ_TWO));
    one.send(frame(2, FIELD_IO, 0x05, 0, 0, 0xff, 0));
    await new Promise((resolve) => setTimeout(resolve, 20));
    const commands: string[] = [];
    world.begin(aWorld(rig, ({ kind }) => commands.push(kind)));
    await one.read(9);
    one.send(frame(3, FIELD_IO, 0x01, 0, 0, 0, 1));
    expect(framesOf(await one.read(10))).toEqual([[3, FIELD_IO, 0x01, 1, 0]]);
    expect(commands).not.toContain('command');
  });
});

describe('a line with a pace', () => {
  test('carries one request after the other, whoever asks, and each takes its time on the line', async () => {
    const world = await live(paced(), ANY_TCP, ANY_TCP);
    const clients = [await client(world, 0), await client(world, 0), await client(world, 1)];
    const askedMs = performance.now();
    for (const one of clients) one.send(frame(1, COIL_A, ...READ_TWO));
    const tookMs = await Promise.all(
      clients.map(async (one) => {
        await one.read(7 + TWO_BYTES);
        return performance.now() - askedMs;
      }),
    );
    const inOrder = tookMs.toSorted((one, other) => one - other);
    // 8 and 9 characters, and a silence of 3.5 after each; a millisecond less, since the clock counts whole
    // ones.
    const exchangeMs = (8 + 9 + 2 * 3.5) * 1.1 - 1;
    for (const [at, tookOneMs] of inOrder.entries()) expect(tookOneMs).toBeGreaterThan((at + 1) * exchangeMs);
  });

  test('answers for a silent device after its time-out, and at once where too many wait', async () => {
    const world = await live(paced(), ANY_TCP);
    const one = await client(world);
    const asked = 1 + WAITING_MAX + 3;
    for (let id = 0; id < asked; id += 1) one.send(frame(id, NOBODY, ...READ_TWO));
    const overloaded = Array.from({ length: 3 }, (_, at) => [1 + WAITING_MAX + at, NOBODY, 0x84, 0x0a]);
    const startMs = performance.now();
    expect(framesOf(await one.read(3 * 9))).toEqual(overloaded);
    expect(framesOf(await one.read(9))).toEqual([[0, NOBODY, 0x84, 0x0b]]);
    expect(performance.now() - startMs).toBeGreaterThan(PACE.timeoutMs - 5);
  });

  test('drops what a client that has gone still waited for', async () => {
    const world = await live(paced(), ANY_TCP);
    const [gone, stays] = [await client(world), await client(world)];
    for (let id = 0; id < 10; id += 1) gone.send(frame(id, NOBODY, ...READ_TWO));
    gone.socket.end();
    await gone.gone;
    const askedMs = performance.now();
    stays.send(frame(1, COIL_A, ...READ_TWO));
    await stays.read(7 + TWO_BYTES);
    // One time-out may be under way; ten of them would be two seconds.
    expect(performance.now() - askedMs).toBeLessThan(5 * PACE.timeoutMs);
  });

  test('is no gateway to those who speak RTU', async () => {
    const world = await live(paced(), ANY_RTU);
    const one = await client(world);
    one.send(rtu(NOBODY, ...READ_TWO));
    one.send(rtu(FIELD_IO, 0x01, 0, 0, 0, 1));
    expect(await one.read(6)).toEqual(Buffer.from(rtu(FIELD_IO, 0x01, 1, 0)));
  });
});
