/** What the trace of a drill has of a wire with faults: what could be heard, and when. */
import { expect, test } from 'vitest';
import { TraceRecorder } from '../../../sim/drill/trace-recorder.ts';
import { applyStep, type World } from '../../../sim/world/index.ts';
import type { TableRequest } from '../../../src/modbus/index.ts';
import { performVirtually } from '../../../src/supervisor/index.ts';
import { ms, unitId } from '../../../src/units/index.ts';
import { stepFor } from '../../helpers/demo.ts';
import { CASES, faultStep, KINDS, type LineKind, newWorld, RIGS, virtualLine } from './wire-cases.ts';

const WHOLE: TableRequest = { kind: 'read', functionCode: 4, address: 0, quantity: 19 };
const STATE: TableRequest = { kind: 'read', functionCode: 4, address: 0, quantity: 2 };

function recorded(line: LineKind) {
  const recorder = new TraceRecorder(RIGS[line], { startMs: 0, asksItself: false });
  return { recorder, world: newWorld(line, recorder.observe) };
}

function ask(world: World, line: LineKind, request: TableRequest, atMs: number) {
  const wire = (...asked: Parameters<World['serve']>) => world.serve(...asked);
  return performVirtually(wire, virtualLine(line), [{ unitId: unitId(11), request }], ms(atMs));
}

test.each(CASES)(
  '$line, $kind $parameters: an answer only where one could be heard, and no sound sensor meanwhile',
  ({ line, kind, parameters, outcome }) => {
    const { recorder, world } = recorded(line);
    ask(world, line, WHOLE, 10_000);
    const fault = { fault: { in: 'coil-a', kind, ...parameters, lasts: '5 s' } };
    applyStep(world, stepFor(RIGS[line], fault), ms(11_000));
    ask(world, line, WHOLE, 12_000);
    world.advance(ms(16_500));
    ask(world, line, WHOLE, 17_000);
    const trace = recorder.finish(20_000);
    const [coil] = trace.sensors;
    const good = [true, outcome === 'answered', true];
    expect(coil?.requests.map(({ answer }) => answer !== null)).toEqual(good);
    expect(coil?.sound).toEqual([
      { atMs: 0, value: true },
      { atMs: 11_000, value: false },
      { atMs: 16_000, value: true },
    ]);
    expect(trace.fieldIoAnswers).toEqual([{ atMs: 0, value: true }]);
  },
);

// Behind the gateway, 8 and 9 bytes and two silences at 19 200 bit/s: 13.75 ms more (computed).
test.each([
  ['Modbus TCP', 12_150],
  ['RTU over TCP', 12_150],
  ['a gateway', 12_164],
] as const)('%s: an answer that comes late is there at the moment it comes', (line, heardAtMs) => {
  const { recorder, world } = recorded(line);
  applyStep(world, faultStep('coil-a', 'late', { by: '150 ms' }), ms(0));
  ask(world, line, STATE, 12_000);
  expect(recorder.finish(20_000).sensors[0]?.requests).toMatchObject([
    { atMs: 12_000, answer: { atMs: heardAtMs, state: 'measuring' } },
  ]);
});

/** Asks the field I/O each second, all the while. */
function askInputs(world: World, line: LineKind, fromS: number, toS: number, address = 0) {
  const request: TableRequest = { kind: 'read', functionCode: 2, address, quantity: 26 };
  const wire = (...asked: Parameters<World['serve']>) => world.serve(...asked);
  const ask = (atS: number) =>
    performVirtually(wire, virtualLine(line), [{ unitId: unitId(200), request }], ms(atS * 1000));
  return Array.from({ length: toS - fromS }, (_, at) => ask(fromS + at));
}

const silentFrom = (fromMs: number, toMs: number) => [
  { atMs: 0, value: true },
  { atMs: fromMs, value: false },
  { atMs: toMs, value: true },
];

/** Whether the field I/O can be heard, by kind of line. */
// biome-ignore format: a table reads best in rows
const FIELD_IO = [
  ['garbage', {},                    false, false, false],
  ['late', { by: '150 ms' },         true,  true,  true],
  ['late', { by: '250 ms' },         true,  true,  false],
  ['late', { by: '400 ms' },         false, false, false],
  ['dribble', {},                    true,  true,  true],
  ['dribble', { every: '28 ms' },    false, true,  false],
  ['dribble', { every: '50 ms' },    false, false, false],
  ['same-address', {},               false, false, false],
  ['same-address', { heard: 'both' }, true, true,  true],
  ['bad-crc', {},                    true,  false, false],
  ['wrong-transaction', {},          false, true,  false],
  ['wrong-unit', {},                 false, false, false],
  ['io-silent', {},                  false, false, false],
] as const;

test.each(KINDS.flatMap((line, at) => FIELD_IO.map((row) => [line, row[0], row[1], row[2 + at]] as const)))(
  '%s: says whether the field I/O can be heard: %s %j',
  (line, kind, parameters, heard) => {
    const { recorder, world } = recorded(line);
    applyStep(world, faultStep('fieldIo', kind, parameters), ms(1000));
    const really = askInputs(world, line, 2, 8);
    expect(new Set(really.map((outcome) => outcome.kind === 'answered'))).toEqual(new Set([heard]));
    applyStep(world, stepFor(RIGS[line], { mend: { in: 'fieldIo' } }), ms(7500));
    askInputs(world, line, 8, 10);
    expect(recorder.finish(10_000).fieldIoAnswers).toEqual(
      heard ? [{ atMs: 0, value: true }] : silentFrom(2000, 8000),
    );
  },
);

test.each(KINDS)('%s: what the field I/O refuses itself was heard', (line) => {
  const { recorder, world } = recorded(line);
  expect(askInputs(world, line, 2, 10, 60_000).map(({ kind }) => kind)).toContain('refused');
  expect(recorder.finish(10_000).fieldIoAnswers).toEqual([{ atMs: 0, value: true }]);
});

test('a gateway that refuses in its place was not the field I/O', () => {
  const { recorder, world } = recorded('a gateway');
  applyStep(world, faultStep('fieldIo', 'io-silent', {}), ms(1000));
  expect(askInputs(world, 'a gateway', 2, 10).map(({ kind }) => kind)).toContain('refused');
  expect(recorder.finish(10_000).fieldIoAnswers).toEqual(silentFrom(2000, 10_000));
});
