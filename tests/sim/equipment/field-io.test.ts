/** The field I/O's map, what a complete write is, and the watchdog. */
import { expect, test } from 'vitest';
import {
  isWatchdogExpired,
  newFieldIo,
  registersOfFieldIo,
  resetFieldIo,
  terminalsOf,
  type Wired,
  watchdogDueMs,
} from '../../../sim/equipment/index.ts';
import { answer, decodeResponse, encodeRequest, type Request } from '../../../src/modbus/index.ts';
import { ms } from '../../../src/units/index.ts';

const CIRCUITS = 2;
const WATCHDOG = ms(5000);
const REST: Wired = {
  cooling: false,
  heating: false,
  fanCall: false,
  airflow: false,
  serviceReset: false,
  fire: false,
  airflowM3PerH: 0,
  contactClosed: new Map(),
  compressorRunning: [false, false],
};

function module_() {
  const io = newFieldIo(CIRCUITS, WATCHDOG, ms(0));
  const registers = registersOfFieldIo(io);
  const ask = (request: Request, now: number, wired = REST) => {
    registers.refresh(wired, ms(now));
    registers.writeAt(ms(now));
    return decodeResponse(answer(encodeRequest(request), registers.model), request);
  };
  const writeCoils = (address: number, values: readonly number[], now: number) =>
    ask({ kind: 'writeMany', functionCode: 15, address, values: Uint16Array.from(values) }, now);
  const read = (functionCode: 1 | 2 | 4, address: number, quantity: number, now: number, wired = REST) => {
    const response = ask({ kind: 'read', functionCode, address, quantity }, now, wired);
    return response.kind === 'read' ? [...response.values] : response;
  };
  return { io, ask, writeCoils, read };
}

test('each command coil drives its own terminal', () => {
  const names = ['fan', 'damper', 'heat', 'trouble', 'alarm'] as const;
  for (const [coil, name] of names.entries()) {
    const { io, ask } = module_();
    ask({ kind: 'writeOne', functionCode: 5, address: coil, value: 1 }, 10);
    const terminals = terminalsOf(io, ms(10));
    for (const other of names) expect(terminals[other]).toBe(other === name);
    expect(terminals.compressors).toEqual([false, false]);
  }
  const { io, ask } = module_();
  ask({ kind: 'writeOne', functionCode: 5, address: 9, value: 1 }, 10);
  expect(terminalsOf(io, ms(10)).compressors).toEqual([false, true]);
});

test('each input stands at its own address', () => {
  const { read } = module_();
  const signals = ['cooling', 'heating', 'fanCall', 'airflow', 'serviceReset', 'fire'] as const;
  for (const [address, signal] of signals.entries()) {
    const bits = read(2, 0, 26, 10, { ...REST, [signal]: true });
    expect(bits).toEqual(Array.from({ length: 26 }, (_, at) => Number(at === address)));
  }
  const contacts = {
    ...REST,
    contactClosed: new Map([
      [8, true],
      [23, true],
    ]),
  };
  expect(read(2, 8, 16, 10, contacts)).toEqual([1, ...Array.from({ length: 14 }, () => 0), 1]);
  expect(read(2, 24, 2, 10, { ...REST, compressorRunning: [false, true] })).toEqual([0, 1]);
});

test('registers tell the airflow and the time since the last complete write', () => {
  const { read } = module_();
  expect(read(4, 0, 2, 3999, { ...REST, airflowM3PerH: 899.6 })).toEqual([900, 3]);
  expect(read(4, 1, 1, 90_000_000_000)).toEqual([0xffff]);
});

test('outside the map it answers exception 02', () => {
  const { read } = module_();
  expect(read(1, 0, 10, 0)).toHaveLength(10);
  expect(read(1, 0, 11, 0)).toMatchObject({ kind: 'exception', code: 2 });
  expect(read(2, 24, 3, 0)).toMatchObject({ kind: 'exception', code: 2 });
  expect(read(4, 2, 1, 0)).toMatchObject({ kind: 'exception', code: 2 });
});

test('a write is complete once every command coil was written, in whatever requests', () => {
  const { io, ask, writeCoils } = module_();
  writeCoils(0, [1, 1, 0, 0, 0], 1000);
  expect(io.lastCompleteMs).toBe(0);
  ask({ kind: 'writeOne', functionCode: 5, address: 8, value: 1 }, 1500);
  expect(io.lastCompleteMs).toBe(0);
  ask({ kind: 'writeOne', functionCode: 5, address: 9, value: 1 }, 2000);
  expect(io.lastCompleteMs).toBe(2000);
  // The same coil over and over never completes the next one.
  for (let now = 2100; now < 3000; now += 100) writeCoils(0, [1, 1, 0, 0, 0], now);
  expect(io.lastCompleteMs).toBe(2000);
  writeCoils(0, [1, 1, 0, 0, 0, 0, 0, 0, 1, 1], 3000);
  expect(io.lastCompleteMs).toBe(3000);
});

test('without a complete write compressors and heat drop out, fan and dampers go on, lamps stay', () => {
  const { io, writeCoils } = module_();
  writeCoils(0, [0, 0, 1, 0, 1, 0, 0, 0, 1, 1], 1000);
  expect(watchdogDueMs(io)).toBe(6000);
  expect(isWatchdogExpired(io, ms(5999))).toBe(false);
  expect(terminalsOf(io, ms(5999))).toMatchObject({ fan: false, heat: true, compressors: [true, true] });
  expect(isWatchdogExpired(io, ms(6000))).toBe(true);
  expect(terminalsOf(io, ms(6000))).toEqual({
    fan: true,
    damper: true,
    heat: false,
    trouble: false,
    alarm: true,
    compressors: [false, false],
  });
  writeCoils(0, [0, 0, 1, 0, 1, 0, 0, 0, 1, 1], 7000);
  expect(terminalsOf(io, ms(7000))).toMatchObject({ fan: false, compressors: [true, true] });
});

test('after a loss of supply every coil is off and the watchdog counts anew', () => {
  const { io, writeCoils } = module_();
  writeCoils(0, [1, 1, 0, 0, 0, 0, 0, 0, 1, 1], 1000);
  resetFieldIo(io, ms(20_000));
  expect(terminalsOf(io, ms(20_000))).toMatchObject({ fan: false, compressors: [false, false] });
  expect(watchdogDueMs(io)).toBe(25_000);
});

test('the module says what it is (MB-APP 6.21), and has no serial to tell', () => {
  const { ask } = module_();
  const request: Request = { kind: 'identify', functionCode: 0x2b, readCode: 3, objectId: 0 };
  const response = ask(request, 10);
  if (response.kind !== 'identify') throw new Error(JSON.stringify(response));
  const texts = response.objects.map(({ id, value }) => [id, Buffer.from(value).toString('latin1')]);
  expect(response.conformity, 'regular objects, one by one too').toBe(0x82);
  expect(texts).toEqual([
    [0x00, 'leakbench'],
    [0x01, 'LB-FIELD-IO'],
    [0x02, '1.0'],
    [0x04, 'virtual field I/O'],
    [0x06, 'field I/O'],
  ]);
  expect(ask({ ...request, readCode: 4, objectId: 0x80 }, 10)).toMatchObject({ kind: 'exception', code: 2 });
});

test('asking the module what it is feeds no watchdog', () => {
  const { io, ask } = module_();
  ask({ kind: 'identify', functionCode: 0x2b, readCode: 1, objectId: 0 }, 4000);
  expect(isWatchdogExpired(io, ms(5000))).toBe(true);
});

test('the module has no holding registers, so no functions 16 and 17', () => {
  const { ask } = module_();
  const masks = { kind: 'maskWrite', functionCode: 0x16, address: 0, andMask: 0, orMask: 1 } as const;
  expect(ask(masks, 10)).toMatchObject({ kind: 'exception', code: 1 });
});
