/** Batches of junk at a running face, and after each a sound request that must be answered rightly. */
import { setImmediate, setTimeout } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect } from 'vitest';
import type { TcpFace } from '../../../sim/wire/tcp-face.ts';
import type { Draw } from '../../../sim/world/random.ts';
import type { Framing } from '../../../src/modbus/index.ts';
import type { SerialClient } from '../../helpers/serial-client.ts';
import type { Inbox } from './inbox.ts';
import { type Junk, junk } from './junk.ts';
import { bytes, frame, rawClient, rtu } from './raw-client.ts';
import { UNIT } from './small-device.ts';

/**
 * One who fuzzes: sends a batch, and comes back when the sound request after it has been answered, with how
 * often it had to ask anew.
 */
export interface Fuzzer {
  readonly framing: Framing['kind'];
  batch(chunks: readonly Uint8Array[], draw: Draw): Promise<number>;
}

/**
 * A machine that has too much to do can hold the junk up and let the sound request catch up with it, so that
 * there is no quiet between the two; then a client asks anew, as any would. One batch in so many, not more.
 */
const BATCHES_A_MISS = 50;
const TRIES = 3;
const PATIENCE_MS = 2000;

interface FuzzRun {
  readonly frames: number;
  readonly framesABatch: number;
}

/** All fuzzers at once, until so many frames have been sent; returns how much memory grew after a warm-up. */
export async function fuzz(fuzzers: readonly Fuzzer[], run: FuzzRun): Promise<Memory> {
  const warmUp = run.frames / 10;
  let sent = 0;
  let missed = 0;
  let warm: Memory | undefined;
  const work = async (fuzzer: Fuzzer, source: Junk): Promise<void> => {
    while (sent < run.frames) {
      sent += run.framesABatch;
      const frames = Array.from({ length: run.framesABatch }, () => source.next());
      missed += await fuzzer.batch(inChunks(bytes(...frames), source.draw), source.draw);
      if (sent >= warmUp) warm ??= memory();
    }
  };
  const sources = fuzzers.map(({ framing }, index) => junk(framing, index));
  await Promise.all(
    fuzzers.map((fuzzer, index) => work(fuzzer, sources[index] ?? junk(fuzzer.framing, index))),
  );
  expect(missed).toBeLessThanOrEqual(run.frames / run.framesABatch / BATCHES_A_MISS);
  const end = memory();
  return { heapMb: end.heapMb - (warm?.heapMb ?? 0), rssMb: end.rssMb - (warm?.rssMb ?? 0) };
}

/**
 * Each batch on a connection of its own, which it may spoil; the sound request on another that is healthy.
 */
export async function mbapFuzzer({ address }: TcpFace): Promise<Fuzzer> {
  const healthy = await rawClient(address.port);
  let asked = 0;
  return {
    framing: 'mbap',
    async batch(chunks, draw) {
      const rude = await rawClient(address.port);
      for (const chunk of chunks) rude.send(chunk);
      rude.socket.end();
      asked += 1;
      const { pdu, answer } = probe(draw);
      healthy.send(frame(asked & 0xffff, UNIT, ...pdu));
      const expected = Buffer.from(frame(asked & 0xffff, UNIT, ...answer));
      expect(await healthy.read(expected.length)).toEqual(expected);
      // The face has come to the end of the batch, whatever it made of it.
      await rude.gone;
      return 0;
    },
  };
}

/** Junk and, when it has been quiet for long enough, the sound request, all on one connection. */
export async function rtuTcpFuzzer({ address }: TcpFace, quietMs: number): Promise<Fuzzer> {
  const client = await rawClient(address.port);
  return {
    framing: 'rtu',
    async batch(chunks, draw) {
      for (const chunk of chunks) client.send(chunk);
      return afterQuiet(client, quietMs, draw, client.send);
    },
  };
}

/** The same on a serial line. */
export function serialFuzzer(client: SerialClient, quietMs: number): Fuzzer {
  return {
    framing: 'rtu',
    async batch(chunks, draw) {
      for (const chunk of chunks) await client.send(chunk);
      return afterQuiet(client, quietMs, draw, (request) => void client.send(request));
    },
  };
}

const QUIET_STEPS = 3;

async function afterQuiet(
  client: Pick<Inbox, 'read' | 'empty' | 'rest'>,
  quietMs: number,
  draw: Draw,
  send: (request: Uint8Array) => void,
): Promise<number> {
  const { pdu, answer } = probe(draw);
  const expected = Buffer.from(rtu(UNIT, ...answer));
  for (let missed = 0; missed < TRIES; missed += 1) {
    await quiet(quietMs);
    client.empty();
    send(rtu(UNIT, ...pdu));
    const heard = await client.read(expected.length, PATIENCE_MS).catch(() => client.rest());
    if (heard.length > 0) {
      expect(heard).toEqual(expected);
      return missed;
    }
  }
  return expect.unreachable(`no answer to a sound request, ${TRIES} times in a row`);
}

/** In steps: the face is in this process, and one that was held up must come to see the quiet as well. */
async function quiet(ms: number): Promise<void> {
  for (let step = 0; step < QUIET_STEPS; step += 1) {
    await setTimeout(ms / QUIET_STEPS);
    await setImmediate();
  }
}

/** Registers whose values nothing can change: each is its address times 3. */
function probe(draw: Draw): { readonly pdu: readonly number[]; readonly answer: readonly number[] } {
  const [address, count] = [Math.floor(draw.chance() * 100), 1 + Math.floor(draw.chance() * 20)];
  const values = Array.from({ length: count }, (_, at) => 3 * (address + at));
  const words = values.flatMap((value) => [value >> 8, value & 0xff]);
  return { pdu: [0x04, 0, address, 0, count], answer: [0x04, 2 * count, ...words] };
}

/** About three frames on the average. */
const CHUNK_BYTES_MAX = 300;

/** Cut anywhere, as streams are. */
function inChunks(stream: Uint8Array, draw: Draw): readonly Uint8Array[] {
  const chunks: Uint8Array[] = [];
  for (let at = 0; at < stream.length; ) {
    const length = 1 + Math.floor(draw.chance() * CHUNK_BYTES_MAX);
    chunks.push(stream.subarray(at, at + length));
    at += length;
  }
  return chunks;
}

export interface Memory {
  readonly heapMb: number;
  readonly rssMb: number;
}

const BYTES_A_MB = 1024 * 1024;

/** What is really held: after a collection of all that is not. */
function memory(): Memory {
  setFlagsFromString('--expose-gc');
  (runInNewContext('gc') as () => void)();
  const { heapUsed, rss } = process.memoryUsage();
  return { heapMb: heapUsed / BYTES_A_MB, rssMb: rss / BYTES_A_MB };
}
