import { expect, test } from 'vitest';
import { allOff, leftStopped } from '../../../src/mitigation/index.ts';
import { ms } from '../../../src/units/index.ts';
import { COOLING, Lead, NO_CALL, type Surroundings } from './situations.ts';

const OFF = allOff(2);

test('a stop of who serves, or waits for self-tests, leaves all off', () => {
  expect(leftStopped(new Lead().cooling().state)).toEqual({ commands: OFF, unmitigated: true });
  const untested = new Lead().at(0, { sensors: { 'coil-a': 'untested' }, calls: COOLING });
  expect(untested.state.standing).toMatchObject([{ hazard: 'notSelfTested' }]);
  expect(leftStopped(untested.state)).toEqual({ commands: OFF, unmitigated: true });
});

/** All within `running`. */
const STANDING: readonly (readonly [hazard: string, around: Partial<Surroundings>])[] = [
  ['fieldIoSilent', { silentSinceMs: ms(30_000) }],
  ['commandsOverwritten', { overwritten: true }],
  ['compressorAgainstCommand', { calls: NO_CALL, welded: [1] }],
  ['fanNotProven', { airflow: false }],
];

test.each(STANDING)(
  'where %s stands the fan stays on, and it is no stop with nothing mitigated',
  (...row) => {
    const [hazard, around] = row;
    const { state } = new Lead().cooling().until(45_000, around);
    expect(state).toMatchObject({ phase: { kind: 'running' }, commands: { fan: true } });
    expect(state.standing[0]?.hazard).toBe(hazard);
    expect(leftStopped(state)).toEqual({
      commands: { ...OFF, fan: true, damper: true, trouble: true },
      unmitigated: false,
    });
  },
);

test('beside a welded compressor no other one is left on', () => {
  const lead = new Lead().cooling().until(45_000, { calls: NO_CALL, welded: [1] });
  const { state } = lead.until(215_000, { calls: COOLING });
  expect(state.standing).toMatchObject([{ hazard: 'compressorAgainstCommand', subject: 'compressor.b' }]);
  expect(state.commands).toMatchObject({ fan: true, compressors: [true, false] });
  expect(leftStopped(state).commands).toMatchObject({ fan: true, heat: false, compressors: [false, false] });
});

test('what is only told keeps nothing on', () => {
  const { state } = new Lead().cooling().until(45_000, { untakenSinceMs: ms(31_000) });
  expect(state.standing).toMatchObject([{ hazard: 'commandsNotTaken' }]);
  expect(leftStopped(state)).toEqual({ commands: OFF, unmitigated: true });
});

test('a mitigation, a hold and a lock-out stay as they are', () => {
  const gas = new Lead().cooling().at(31_000, { sensors: { 'coil-a': 'gas' } });
  expect(leftStopped(gas.state)).toEqual({ commands: gas.state.commands, unmitigated: false });
  const held = gas.until(60_000, { sensors: { 'coil-a': 'well' } });
  expect(held.phase).toBe('holding');
  expect(leftStopped(held.state)).toEqual({ commands: held.state.commands, unmitigated: false });
  const { state } = new Lead({}, { record: 'lockedOut' }).at(1000);
  expect(leftStopped(state)).toEqual({ commands: state.commands, unmitigated: false });
});
