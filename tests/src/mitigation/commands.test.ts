import { describe, expect, it } from 'vitest';
import { leftSafe } from '../../../src/mitigation/index.ts';
import { ms } from '../../../src/units/index.ts';
import { COOLING, HEATING, Lead, MINUTE, NO_CALL } from './situations.ts';

const MIN_OFF = 3 * MINUTE;
const BOTH_CALLS = { cooling: true, heating: true, fan: false };

const compressors = (lead: Lead) => lead.state.commands.compressors;

describe('the start', () => {
  it('is fan, airflow, first compressor, and the second ten seconds later', () => {
    const lead = new Lead().at(0).at(1000, { calls: COOLING, airflow: false });
    expect(lead.state.commands).toMatchObject({ fan: true, damper: true, compressors: [false, false] });
    expect(compressors(lead.until(5000))).toEqual([false, false]);
    expect(compressors(lead.at(6000, { airflow: true }))).toEqual([true, false]);
    expect(compressors(lead.until(15_999))).toEqual([true, false]);
    expect(compressors(lead.at(16_000))).toEqual([true, true]);
  });

  it('waits for no minimum time off where a compressor has never run', () => {
    expect(compressors(new Lead().at(0, { calls: COOLING }).at(1000))).toEqual([true, false]);
  });

  it('counts a compressor as just off after a restart of unknown history', () => {
    const lead = new Lead({}, { record: 'orderly' }).at(0, { calls: COOLING });
    expect(compressors(lead.until(MIN_OFF - 1))).toEqual([false, false]);
    expect(compressors(lead.at(MIN_OFF))).toEqual([true, false]);
  });

  it('gives the second its turn while the first waits for its time off', () => {
    const lead = new Lead().at(0, { calls: COOLING }).at(1000).at(5000, { calls: NO_CALL });
    lead.until(30_000, { calls: COOLING });
    expect(compressors(lead)).toEqual([false, true]);
    expect(compressors(lead.until(5000 + MIN_OFF))).toEqual([true, true]);
  });
});

describe('the stop', () => {
  it('is all at once', () => {
    const lead = new Lead().cooling();
    expect(compressors(lead)).toEqual([true, true]);
    expect(compressors(lead.at(31_000, { calls: NO_CALL }))).toEqual([false, false]);
    expect(lead.state.commands.fan).toBe(false);
  });

  it('keeps a compressor off for its minimum time', () => {
    const lead = new Lead().cooling().at(31_000, { calls: NO_CALL }).at(32_000, { calls: COOLING });
    expect(compressors(lead.until(31_000 + MIN_OFF - 1))).toEqual([false, false]);
    expect(compressors(lead.at(31_000 + MIN_OFF))).toEqual([true, false]);
  });

  it('counts the time off from the write that the field I/O took', () => {
    const lead = new Lead().cooling().at(31_000, { calls: NO_CALL, writes: 'lost' });
    lead.until(40_000).at(41_000, { calls: COOLING, writes: 'taken' });
    expect(compressors(lead.until(41_000 + MIN_OFF - 1))).toEqual([false, false]);
    expect(compressors(lead.at(41_000 + MIN_OFF))).toEqual([true, false]);
  });

  it('keeps the compressors off while no write is taken', () => {
    const lead = new Lead().cooling().at(31_000, { calls: NO_CALL, writes: 'lost' });
    expect(compressors(lead.until(31_000 + 2 * MIN_OFF, { calls: COOLING }))).toEqual([false, false]);
  });

  it('does not come of a short break of airflow', () => {
    const lead = new Lead().cooling().until(40_000, { airflow: false });
    expect(compressors(lead)).toEqual([true, true]);
    const heating = new Lead().at(0, { calls: HEATING }).until(2000).until(10_000, { airflow: false });
    expect(heating.state.commands.heat).toBe(true);
  });
});

describe('the fan', () => {
  it('follows any call, and opens the dampers with it', () => {
    for (const call of ['cooling', 'heating', 'fan'] as const) {
      const lead = new Lead().at(0, { calls: { ...NO_CALL, [call]: true } });
      expect(lead.state.commands).toMatchObject({ fan: true, damper: true });
      expect(lead.at(1000, { calls: NO_CALL }).state.commands).toMatchObject({ fan: false, damper: false });
    }
  });

  it('serves no cooling or heating for a call for air alone', () => {
    const lead = new Lead().until(60_000, { calls: { ...NO_CALL, fan: true } });
    expect(lead.stopped).toBe(true);
  });
});

describe('cooling and heating at once', () => {
  it('is served as cooling', () => {
    const lead = new Lead().until(60_000, { calls: BOTH_CALLS });
    expect(lead.state.commands).toMatchObject({ heat: false, compressors: [true, true] });
  });

  it('keeps the heat that is on until a compressor has taken over', () => {
    const lead = new Lead().cooling().at(31_000, { calls: NO_CALL }).until(60_000, { calls: HEATING });
    expect(lead.state.commands.heat).toBe(true);
    lead.until(31_000 + MIN_OFF - 1, { calls: BOTH_CALLS });
    expect(lead.state.commands).toMatchObject({ heat: true, compressors: [false, false] });
    lead.at(31_000 + MIN_OFF);
    expect(lead.state.commands).toMatchObject({ heat: true, compressors: [true, false] });
    lead.at(31_000 + MIN_OFF + 1);
    expect(lead.state.commands).toMatchObject({ heat: false, compressors: [true, false] });
  });

  it('turns to heat in the step in which the cooling call ends', () => {
    const lead = new Lead().until(60_000, { calls: BOTH_CALLS }).at(61_000, { calls: HEATING });
    expect(lead.state.commands).toMatchObject({ heat: true, compressors: [false, false] });
  });
});

describe('a field I/O that is not heard for a moment', () => {
  it('starts nothing', () => {
    const lead = new Lead().at(0, { calls: COOLING, silentSinceMs: ms(0), airflow: true });
    expect(lead.until(20_000).stopped).toBe(true);
  });
});

describe('what is left by a supervisor that can decide nothing any more', () => {
  it('is a mitigation, with the alarm as it stood', () => {
    const serving = new Lead().cooling().state;
    const left = { fan: true, damper: true, heat: false, trouble: true, compressors: [false, false] };
    expect(leftSafe(serving)).toEqual({ ...left, alarm: false });
    const alarmed = new Lead().cooling().at(31_000, { sensors: { 'coil-a': 'gas' } }).state;
    expect(leftSafe(alarmed)).toEqual({ ...left, alarm: true });
  });

  it('is everything off in a fire, which a fan would feed', () => {
    const burning = new Lead().cooling().at(31_000, { fire: true }).state;
    expect(leftSafe(burning)).toMatchObject({
      fan: false,
      damper: false,
      heat: false,
      alarm: true,
      trouble: true,
      compressors: [false, false],
    });
  });
});
