/** What is told of a request that a gateway or a faulty wire has its hand in. */
import { once } from 'node:events';
import { connect } from 'node:net';
import { expect, test } from 'vitest';
import { applyStep, LiveWorld, type Observation, World } from '../../../sim/world/index.ts';
import { benchClock } from '../../../src/clock/index.ts';
import { encodeFrame } from '../../../src/modbus/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { ms, unitId } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const READ = Uint8Array.of(4, 0, 0, 0, 19);
const PAST_THE_END = Uint8Array.of(4, 0, 0, 0, 20);
const PACE = { baud: 9600, parity: 'even', stopBits: 1, timeoutMs: ms(200) } as const;

function withPace(rig: Rig): Rig {
  return { ...rig, lines: rig.lines.map((line) => ({ ...line, pace: PACE })) };
}

function worldOf(rig: Rig): { readonly world: World; readonly seen: Observation[] } {
  const seen: Observation[] = [];
  const observe = (one: Observation): void => {
    if (one.kind === 'sent' || one.kind === 'waits') seen.push(one);
  };
  return { world: new World(rig, { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe }), seen };
}

function asked(rig: Rig, unit: number, pdu: Uint8Array, fault?: object): readonly Observation[] {
  const { world, seen } = worldOf(rig);
  if (fault !== undefined) expect(applyStep(world, stepFor(rig, { fault }), ms(0))).toBeNull();
  world.serve('main', unit, pdu, ms(1000));
  return seen;
}

test('an answer that goes out at once and as it is needs no more telling', () => {
  expect(asked(demoRig(), 11, READ)).toEqual([]);
});

test('through a gateway it takes the time of its bytes, and no fault is blamed', () => {
  // 8 and 43 bytes of 11 bits at 9600 baud, each with 3.5 characters of silence after it: 66 ms.
  expect(asked(withPace(demoRig()), 11, READ)).toMatchObject([
    { kind: 'sent', unitId: 11, sentAtMs: 1066, exception: null, struck: false },
  ]);
});

test('a refusal through a gateway is the device’s own', () => {
  const [sent] = asked(withPace(demoRig()), 11, PAST_THE_END);
  expect(sent).toMatchObject({ exception: 2, reply: Uint8Array.of(0x84, 2), struck: false });
});

test('for a silent device a gateway answers with 0B after its time-out, and the device with nothing', () => {
  const [sent] = asked(withPace(demoRig()), 13, READ);
  expect(sent).toMatchObject({ exception: 0x0b, reply: null, struck: false });
  expect(sent?.kind === 'sent' && sent.sentAtMs !== null && sent.sentAtMs >= 1200).toBe(true);
});

test('what a fault makes of an answer is told as such, also where nothing goes out', () => {
  expect(asked(demoRig(), 11, READ, { in: 'coil-a', kind: 'late', by: '600 ms' })).toMatchObject([
    { sentAtMs: 1600, exception: null, struck: true },
  ]);
  expect(asked(demoRig(), 11, READ, { in: 'coil-a', kind: 'exception', code: 6 })).toMatchObject([
    { sentAtMs: 1000, exception: 6, struck: true },
  ]);
  expect(asked(demoRig(), 11, READ, { in: 'coil-a', kind: 'lossy', probability: 1 })).toMatchObject([
    { sentAtMs: null, exception: null, struck: true },
  ]);
});

test('a request that comes while a gateway’s line is taken is told to wait', async () => {
  const { world, seen } = worldOf(withPace(demoRig()));
  const clock = benchClock(1);
  const live = new LiveWorld(world, clock);
  try {
    await live.listen(() => [{ kind: 'tcp', host: '127.0.0.1', port: 0 }]);
    const [listening] = live.addresses;
    if (listening?.address.kind !== 'tcp') throw new Error('no port');
    const socket = connect(listening.address.port, '127.0.0.1');
    await once(socket, 'connect');
    socket.write(encodeFrame(1, unitId(11), READ));
    socket.write(encodeFrame(2, unitId(12), READ));
    for (let bytes = 0; bytes < 2 * 47; ) bytes += ((await once(socket, 'data')) as [Buffer])[0].length;
    socket.destroy();
    expect(seen.map(({ kind }) => kind)).toEqual(['sent', 'waits', 'sent']);
    expect(seen[1]).toMatchObject({ line: 'main', unitId: 12 });
  } finally {
    clock.stop();
    await live.close();
  }
});
