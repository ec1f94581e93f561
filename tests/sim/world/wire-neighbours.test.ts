/** A fault of one device's wire costs the others nothing: they are asked as often as without it. */
import { expect, test } from 'vitest';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import { planOf, Supervisor } from '../../../src/supervisor/index.ts';
import { ms } from '../../../src/units/index.ts';
import { CASES, faultStep, KINDS, type LineKind, onSocket, RIGS, type WireCase } from './wire-cases.ts';

const SEED = 3;
/** Slow enough that a loaded machine does not make the time-outs, 150 ms then, pass by itself. */
const SPEED = 2;
const POLLS = 10;
const BEGIN_MS = 20_000;
const END_MS = 60_000;
/** So that the last cycle is whole, though an answer in it may come late. */
const HALF_A_POLL_MS = 500;

/** How often each unit was asked in a minute of virtual time, under the built-in supervisor. */
function asked(line: LineKind, fault: ReturnType<typeof faultStep> | null): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  const bench = new VirtualBench(RIGS[line], {
    seed: SEED,
    observe: (seen) => {
      if (seen.kind === 'asked') counts.set(seen.unitId, (counts.get(seen.unitId) ?? 0) + 1);
    },
    tell: () => undefined,
  });
  bench.runUntil(ms(BEGIN_MS + HALF_A_POLL_MS));
  counts.clear();
  if (fault !== null) bench.apply(fault);
  bench.runUntil(ms(BEGIN_MS + END_MS + HALF_A_POLL_MS));
  return counts;
}

const WITHOUT = new Map(KINDS.map((line) => [line, asked(line, null)]));

test.each(CASES)('in virtual time, on $line: $kind $parameters', ({ line, kind, parameters }) => {
  const counts = asked(line, faultStep('coil-a', kind, parameters));
  const without = WITHOUT.get(line);
  expect(counts.get(12)).toBe(without?.get(12));
  expect(counts.get(200)).toBeGreaterThanOrEqual(without?.get(200) ?? 0);
  expect(counts.get(11)).toBeGreaterThanOrEqual(60);
});

// They wait for nearly all of their time: all benches of a kind of line wait side by side.
test.concurrent.for(KINDS)('over a socket, on %s: every fault', async (line, { onTestFinished }) => {
  const cases = CASES.filter((one) => one.line === line);
  const polled = cases.map(async (one) => {
    const counts = await askedOverSocket(one, onTestFinished);
    // The inputs are read once a cycle, and so is the other sensor: before or after them in the last one. A
    // loaded machine may make a retry of its own.
    const said = `${one.kind} ${JSON.stringify(one.parameters)}`;
    expect(counts.get(12), said).toBeGreaterThanOrEqual(POLLS - 2);
    expect(counts.get(11), said).toBeGreaterThanOrEqual(POLLS - 2);
  });
  await Promise.all(polled);
});

/** How often each sensor was asked while the field I/O was asked for its inputs so many times. */
async function askedOverSocket(
  one: WireCase,
  atEnd: (close: () => Promise<void>) => void,
): Promise<ReadonlyMap<number, number>> {
  const counts = new Map<number, number>();
  let enough: () => void = () => undefined;
  const done = new Promise<void>((resolve) => {
    enough = resolve;
  });
  const { clock, live, bus, closers, close } = await onSocket(one.line, SPEED, (seen) => {
    if (seen.kind !== 'asked' || seen.pdu[0] === 15 || seen.pdu[0] === 1) return;
    counts.set(seen.unitId, (counts.get(seen.unitId) ?? 0) + 1);
    if (seen.unitId === 200 && counts.get(200) === POLLS) enough();
  });
  atEnd(close);
  live.apply(faultStep('coil-a', one.kind, one.parameters));
  const supervisor = new Supervisor(
    planOf(RIGS[one.line]),
    { record: 'empty', tripAgesMs: [], tripCounted: false },
    { clock, buses: [bus], store: () => undefined, storeFailed: () => undefined, failed: () => undefined },
  );
  closers.push(() => supervisor.stop());
  await done;
  return counts;
}
