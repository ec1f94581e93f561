/**
 * Odder things that a bus may do to a poll than those of bus-client.test.ts: answers that nearly fit, answers
 * that nobody asked for, connections that never come about.
 */
import { connect, type Socket } from 'node:net';
import { afterEach, describe, expect, it, test } from 'vitest';
import type { TableRequest } from '../../../src/modbus/index.ts';
import { type BusClient, busClient } from '../../../src/supervisor/bus-client.ts';
import { unitId } from '../../../src/units/index.ts';
import {
  answerTo,
  type FrameChange,
  type Manner,
  type RoughServer,
  roughServer,
  stuckServer,
} from './rough-server.ts';
import { watching } from './watching.ts';

const UNIT = unitId(11);
const READ = { kind: 'read', functionCode: 4, address: 0, quantity: 2 } as const;
/** For what never comes. */
const TIMEOUT_MS = 150;
/** For what surely comes. */
const PATIENT_MS = 5000;
const GOOD_PDU = [4, 4, 0x12, 0x34, 0x00, 0xff];
const GOOD = { kind: 'answered', answer: [0x1234, 0x00ff] };
const FALSE_PDU = [4, 4, 0xde, 0xad, 0xbe, 0xef];

const good: Manner = (request, socket) => void socket.write(answerTo(request, GOOD_PDU));
const answering =
  (pdu: readonly number[], change?: FrameChange): Manner =>
  (request, socket) =>
    void socket.write(answerTo(request, pdu, change));

const open: { close(): unknown }[] = [];
afterEach(async () => {
  for (const one of open.splice(0).reverse()) await one.close();
});

function opened<One extends { close(): unknown }>(one: One): One {
  open.push(one);
  return one;
}

async function serve(...manners: readonly Manner[]): Promise<RoughServer> {
  return opened(await roughServer(manners, good));
}

function connectTo(port: number, watched: string[] = [], host = '127.0.0.1'): BusClient {
  return opened(busClient({ kind: 'tcp', host, port }, watching(watched)));
}

describe('an answer that nearly fits', () => {
  const nearly: readonly (readonly [name: string, manner: Manner, outcomes: readonly string[]])[] = [
    ['an odd byte count, one too low', answering([4, 3, 0x12, 0x34, 0x00, 0xff]), ['mismatched']],
    ['an odd byte count, one too high', answering([4, 5, 0x12, 0x34, 0x00, 0xff]), ['mismatched']],
    ['more bytes than its byte count', answering([...GOOD_PDU, 0x00, 0x01]), ['mismatched']],
    ['a length field that promises more', answering(GOOD_PDU, { length: 200 }), ['silent']],
    ['a length field that promises less', answering(GOOD_PDU, { length: 5 }), ['mismatched']],
    ['a length field of nothing', answering(GOOD_PDU, { length: 0 }), ['mismatched', 'silent']],
    ['the length field of a giant', answering(GOOD_PDU, { length: 0xffff }), ['silent']],
    ['the exception of another unit', answering([0x84, 2], { unit: 12 }), ['refused', 'mismatched']],
    ['the exception of another function', answering([0x83, 2]), ['mismatched']],
    ['an exception without a code', answering([0x84]), ['mismatched', 'silent']],
    [
      'an answer with two bytes of garbage before it',
      (request, socket) => {
        socket.write(Buffer.concat([Buffer.from([0xa5, 0xa5]), answerTo(request, GOOD_PDU)]));
      },
      ['mismatched', 'silent'],
    ],
    ['a reset instead of an answer', (_, socket) => void socket.resetAndDestroy(), ['silent', 'mismatched']],
  ];

  it.each(nearly)('%s is no reading, and the next good one is', async (_, manner, outcomes) => {
    const bus = connectTo((await serve(manner)).port);
    expect(outcomes).toContain((await bus.perform(UNIT, READ, TIMEOUT_MS)).kind);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('is a reading when it only comes byte by byte', async () => {
    const dribble: Manner = (request, socket) => {
      socket.setNoDelay();
      for (const byte of answerTo(request, GOOD_PDU)) socket.write(Buffer.of(byte));
    };
    const bus = connectTo((await serve(dribble)).port);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });
});

describe('an answer that nobody asked for', () => {
  it('is not taken for the next one, when the same answer comes twice', async () => {
    const twice: Manner = (request, socket) => {
      socket.write(Buffer.concat([answerTo(request, GOOD_PDU), answerTo(request, FALSE_PDU)]));
    };
    const bus = connectTo((await serve(twice)).port);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('is not taken for the next one, when it foresees the next transaction', async () => {
    const foresees: Manner = (request, socket) => {
      const transaction = request.readUInt16BE(0) + 1;
      socket.write(
        Buffer.concat([answerTo(request, GOOD_PDU), answerTo(request, FALSE_PDU, { transaction })]),
      );
    };
    const bus = connectTo((await serve(foresees)).port);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('is not taken for one of the same number, 256 requests later', async () => {
    let first: Buffer | undefined;
    const requests = 300;
    const stale: Manner = (request, socket) => {
      first ??= Buffer.from(request);
      const repeats = request.readUInt16BE(0) === first.readUInt16BE(0) && request !== first;
      socket.write(answerTo(request, GOOD_PDU));
      if (repeats) socket.write(answerTo(first, FALSE_PDU));
    };
    const bus = connectTo((await serve(...Array.from({ length: requests }, () => stale))).port);
    for (let count = 0; count < requests; count += 1)
      expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });
});

describe('a connection', () => {
  it('that never comes about is silence, and is made once it can be', async () => {
    const stuck = await stuckServer();
    // Its queue holds two; these two, and what connects after them waits for ever.
    const fillers: Socket[] = [];
    for (let filler = 0; filler < 3; filler += 1) {
      const socket = connect(stuck.port, '127.0.0.1');
      socket.on('error', () => undefined);
      fillers.push(socket);
    }
    const watched: string[] = [];
    const bus = connectTo(stuck.port, watched);
    expect(await bus.perform(UNIT, READ, TIMEOUT_MS)).toEqual({ kind: 'silent' });
    expect(watched.at(-1)).toBe('no connection: nobody took it in time');
    for (const socket of fillers) socket.destroy();
    await stuck.close();
    opened(await roughServer([], good, stuck.port));
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('that is reset as soon as it is made is silence', async () => {
    let greeted = 0;
    const server = opened(
      await roughServer([], good, 0, (socket) => {
        greeted += 1;
        if (greeted <= 2) socket.resetAndDestroy();
      }),
    );
    const bus = connectTo(server.port);
    for (let poll = 0; poll < 2; poll += 1)
      expect((await bus.perform(UNIT, READ, TIMEOUT_MS)).kind).not.toBe('answered');
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
  });

  it('tells its watcher of every time it was made and lost', async () => {
    const watched: string[] = [];
    const bus = connectTo((await serve(() => undefined)).port, watched);
    await bus.perform(UNIT, READ, TIMEOUT_MS);
    await bus.perform(UNIT, READ, PATIENT_MS);
    expect(watched).toEqual(['connected', 'no answer in time', 'connected']);
  });

  it('whose host has no address is no connection', async () => {
    const watched: string[] = [];
    // RFC 2606, section 2: no name under "invalid" is ever given an address.
    const bus = connectTo(502, watched, 'no-such-host.invalid');
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual({ kind: 'silent' });
    expect(watched).toEqual([expect.stringMatching(/^no connection: .*no-such-host\.invalid/u)]);
  });

  it('that was closed here is not made again', async () => {
    const watched: string[] = [];
    const bus = connectTo((await serve()).port, watched);
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual(GOOD);
    bus.close();
    expect(await bus.perform(UNIT, READ, PATIENT_MS)).toEqual({ kind: 'silent' });
    expect(watched).toEqual(['connected']);
  });

  it('that is closed here while it is being made tells nobody', async () => {
    const watched: string[] = [];
    const bus = connectTo((await serve()).port, watched);
    const pending = bus.perform(UNIT, READ, PATIENT_MS);
    bus.close();
    expect(await pending).toEqual({ kind: 'silent' });
    expect(watched).toEqual([]);
  });

  it('that is closed here while a request is out leaves that request silent', async () => {
    let asked: () => void = () => undefined;
    const isOut = new Promise<void>((resolve) => {
      asked = resolve;
    });
    const bus = connectTo(
      (
        await serve(() => {
          asked();
        })
      ).port,
    );
    const pending = bus.perform(UNIT, READ, TIMEOUT_MS);
    await isOut;
    bus.close();
    expect(await pending).toEqual({ kind: 'silent' });
  });
});

const asks = (functionCode: 1 | 2 | 3 | 4): TableRequest => ({
  kind: 'read',
  functionCode,
  address: 3,
  quantity: 2,
});

test.each([
  [asks(1), [1, 1, 0b10], [0, 1]],
  [asks(2), [2, 1, 0b01], [1, 0]],
  [asks(3), [3, 4, 0, 7, 1, 0], [7, 256]],
  [asks(4), [4, 4, 0, 7, 1, 0], [7, 256]],
  [{ kind: 'writeOne', functionCode: 5, address: 3, value: 1 }, [5, 0, 3, 0xff, 0], []],
  [{ kind: 'writeOne', functionCode: 5, address: 3, value: 0 }, [5, 0, 3, 0, 0], []],
  [{ kind: 'writeOne', functionCode: 6, address: 3, value: 513 }, [6, 0, 3, 2, 1], []],
  [{ kind: 'writeMany', functionCode: 15, address: 3, values: Uint16Array.of(1, 0) }, [15, 0, 3, 0, 2], []],
  [{ kind: 'writeMany', functionCode: 16, address: 3, values: Uint16Array.of(9) }, [16, 0, 3, 0, 1], []],
] as const satisfies readonly (readonly [TableRequest, readonly number[], readonly number[]])[])(
  'performs %o',
  async (request, pdu, answer) => {
    const bus = connectTo((await serve(answering(pdu))).port);
    expect(await bus.perform(UNIT, request, PATIENT_MS)).toEqual({ kind: 'answered', answer });
  },
);

test.each([
  ['another address', { kind: 'writeOne', functionCode: 6, address: 3, value: 513 }, [6, 0, 4, 2, 1]],
  ['another value', { kind: 'writeOne', functionCode: 6, address: 3, value: 513 }, [6, 0, 3, 2, 2]],
  ['another coil', { kind: 'writeOne', functionCode: 5, address: 3, value: 1 }, [5, 0, 3, 0, 0]],
  [
    'another quantity',
    { kind: 'writeMany', functionCode: 16, address: 3, values: Uint16Array.of(9) },
    [16, 0, 3, 0, 2],
  ],
] as const satisfies readonly (readonly [string, TableRequest, readonly number[]])[])(
  'a write whose echo names %s was not the one that was asked',
  async (_, request, pdu) => {
    const bus = connectTo((await serve(answering(pdu))).port);
    expect((await bus.perform(UNIT, request, PATIENT_MS)).kind).toBe('mismatched');
  },
);
