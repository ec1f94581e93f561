/** The serial face on real ports of the system: two pseudo-terminals joined by socat. */
import { setTimeout } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { openSerialFace, type SerialFace, type SerialFaceOptions } from '../../sim/wire/serial-face.ts';
import { SerialMissing, SerialUnusable } from '../../sim/wire/serial-port.ts';
import type { Later } from '../../sim/wire/serve.ts';
import type { WireAnswer } from '../../src/modbus/index.ts';
import type { SerialAddress } from '../../src/rig/index.ts';
import { type PtyPair, ptyPair } from '../helpers/pty-pair.ts';
import { type SerialClient, serialClient } from '../helpers/serial-client.ts';
import { serialFuzzers } from '../helpers/serial-fuzzers.ts';
import { fuzz } from '../sim/wire/fuzz.ts';
import { bytes, rtu } from '../sim/wire/raw-client.ts';
import { smallDevice, UNIT } from '../sim/wire/small-device.ts';
import { requireTool } from './outside-tools.ts';

const READ_TWO = rtu(UNIT, 0x04, 0, 1, 0, 2);
const TWO = Buffer.from(rtu(UNIT, 0x04, 4, 0, 3, 0, 6));
const SETTINGS = { kind: 'rtu', baud: 19_200, parity: 'even', stopBits: 1 } as const;
/** More than the silence of the line, and what the face adds to it. */
const SILENT_MS = 60;

/** A million in the long tests. */
const FUZZED_FRAMES = 50_000;

let pair: PtyPair;
let cleanUp: (() => Promise<void>)[] = [];

beforeEach(async (context) => {
  await requireTool(context, 'socat');
  pair = await ptyPair();
  cleanUp = [];
});

afterEach(async () => {
  for (const one of cleanUp.toReversed()) await one();
  await pair.remove();
});

function ours(): SerialAddress {
  return { ...SETTINGS, path: pair.paths[0] };
}

async function face(options: Partial<SerialFaceOptions> = {}): Promise<SerialFace> {
  const made = await openSerialFace({ address: ours(), serve: smallDevice().serve, ...options });
  cleanUp.push(made.close);
  return made;
}

async function client(): Promise<SerialClient> {
  const made = await serialClient(pair.paths[1]);
  cleanUp.push(made.close);
  return made;
}

async function asksAndHears(one: SerialClient): Promise<void> {
  await one.send(READ_TWO);
  expect(await one.read(TWO.length)).toEqual(TWO);
}

describe('a serial face', () => {
  test('says where it is, and answers there', async () => {
    const made = await face();
    expect(made.address).toEqual(ours());
    await asksAndHears(await client());
    expect(made.stats()).toMatchObject({ requests: 1, answers: 1, thrownAway: 0, unplugged: 0 });
  });

  test('takes every byte there is as it is: no control characters', async () => {
    const device = smallDevice();
    await face({ serve: device.serve });
    const one = await client();
    for (const first of [0, 0x0a, 0x0d, 0x11, 0x13, 0x1a, 0x7f, 0xff]) {
      await one.send(rtu(UNIT, 0x06, 0, 3, first, 0xff - first));
      expect([...(await one.read(8)).subarray(4, 6)]).toEqual([first, 0xff - first]);
    }
  });

  test('puts a frame together that the system hands over in pieces', async () => {
    const made = await face();
    const one = await client();
    for (const byte of READ_TWO) {
      await one.send(Uint8Array.of(byte));
      await setTimeout(2);
    }
    expect(await one.read(TWO.length)).toEqual(TWO);
    expect(made.stats()).toMatchObject({ requests: 1, thrownAway: 0 });
  });

  test('throws away what does not end before the silence, and hears what comes after it', async () => {
    const made = await face();
    const one = await client();
    await one.send(READ_TWO.subarray(0, 5));
    await setTimeout(SILENT_MS);
    await asksAndHears(one);
    expect(made.stats()).toMatchObject({ requests: 1, thrownAway: 1 });
  });

  test('takes no notice of a request behind broken bytes before the line has been silent', async () => {
    const made = await face();
    const one = await client();
    await one.send(bytes(READ_TWO.with(7, 0), READ_TWO));
    await vi.waitFor(() => {
      expect(made.stats().thrownAway).toBe(1);
    });
    await asksAndHears(one);
    expect(made.stats().requests).toBe(1);
  });

  test('refuses a function that it does not know once the line is silent', async () => {
    await face();
    const one = await client();
    await one.send(rtu(UNIT, 0x42, 1, 2, 3));
    expect(await one.read(5)).toEqual(Buffer.from(rtu(UNIT, 0xc2, 1)));
  });

  test('carries out a broadcast without a word', async () => {
    const device = smallDevice();
    await face({ serve: device.serve });
    const one = await client();
    await one.send(rtu(0, 0x06, 0, 3, 0, 9));
    await asksAndHears(one);
    expect(device.holding[3]).toBe(9);
  });

  test('sends an answer that is cut as it is, and goes on: there is nothing to hang up', async () => {
    let cut = true;
    const sound = smallDevice().serve;
    await face({
      serve: (unit, pdu): WireAnswer | Later =>
        cut
          ? { emission: () => ({ parts: [{ afterMs: 5, bytes: TWO.subarray(0, 4) }], hangsUp: true }) }
          : sound(unit, pdu),
    });
    const one = await client();
    await one.send(READ_TWO);
    expect(await one.read(4)).toEqual(TWO.subarray(0, 4));
    cut = false;
    await asksAndHears(one);
  });

  test('keeps no more answers than there is room for where nobody reads, and outlives it', async () => {
    // Far more than the cable holds of either; once it is full of answers it takes no more requests.
    const parts = [{ afterMs: 0, bytes: new Uint8Array(4000) }];
    const made = await face({ serve: () => ({ emission: () => ({ parts, hangsUp: false }) }) });
    const one = await client();
    one.pause();
    const flood = bytes(...Array.from({ length: 3000 }, () => READ_TWO));
    const flooding = one.send(flood).catch(() => undefined);
    await vi.waitFor(
      () => {
        expect(made.stats().unsent).toBeGreaterThan(100);
      },
      { timeout: 10_000 },
    );
    cleanUp.push(async () => flooding);
    await made.close();
  });

  test('lets the port go when it is closed, and may be closed twice', async () => {
    const made = await face();
    await Promise.all([made.close(), made.close()]);
    const again = await face();
    await asksAndHears(await client());
    expect(again.stats().requests).toBe(1);
  });

  test('does not answer what was asked before it was there', async () => {
    const one = await client();
    await one.send(READ_TWO);
    await setTimeout(SILENT_MS);
    const made = await face();
    await asksAndHears(one);
    expect(made.stats().requests).toBe(1);
  });
});

test(`serial faces answer rightly after ${FUZZED_FRAMES} frames of junk`, async () => {
  const bench = await serialFuzzers(6);
  cleanUp.push(bench.close);
  await fuzz(bench.fuzzers, { frames: FUZZED_FRAMES, framesABatch: 60 });
  for (const { stats } of bench.faces) {
    const { requests, answers, thrownAway, unplugged, unsent } = stats();
    for (const [path, count] of Object.entries({ requests, answers, thrownAway }))
      expect(count, path).toBeGreaterThan(50);
    expect([unplugged, unsent]).toEqual([0, 0]);
  }
});

describe('a serial port that is unplugged', () => {
  test('is opened again once it is back', async () => {
    const made = await face({ lookEveryMs: 30 });
    const before = await client();
    await asksAndHears(before);
    await pair.unplug();
    await vi.waitFor(
      () => {
        expect(made.stats().unplugged).toBe(1);
      },
      { timeout: 10_000 },
    );
    // Several tries in vain.
    await setTimeout(150);
    await pair.plug();
    const after = await client();
    await vi.waitFor(
      async () => {
        await after.send(READ_TWO);
        await setTimeout(SILENT_MS);
        expect(after.empty()).toEqual(TWO);
      },
      { timeout: 10_000 },
    );
    expect(made.stats().unplugged).toBe(1);
  });

  test('stays closed once the face is', async () => {
    const made = await face({ lookEveryMs: 30 });
    // Before anything was read: where the package itself notices nothing.
    await pair.unplug();
    await vi.waitFor(
      () => {
        expect(made.stats().unplugged).toBe(1);
      },
      { timeout: 10_000 },
    );
    await made.close();
    await pair.plug();
    await setTimeout(150);
    await face();
    await asksAndHears(await client());
    expect(made.stats().requests).toBe(0);
  });
});

describe('a serial port that cannot be had', () => {
  test('says which, and why', async () => {
    const address = { ...ours(), path: `${pair.paths[0]}-not` };
    const error = await face({ address }).catch((reason: unknown) => reason);
    expect(error).toBeInstanceOf(SerialUnusable);
    expect(String(error)).toContain(address.path);
    expect(String(error)).toContain('No such file');
  });

  test('is one that another has', async () => {
    await face();
    await expect(face()).rejects.toBeInstanceOf(SerialUnusable);
  });

  test('is any without the package, which the error says how to get', async () => {
    const load = () => Promise.reject(new Error("Cannot find package 'serialport'\nImported from here"));
    const error = await face({ load }).catch((reason: unknown) => reason);
    expect(error).toBeInstanceOf(SerialMissing);
    expect(String(error)).toMatch(/npm install serialport$/u);
    expect(String(error)).not.toContain('\n');
  });
});
