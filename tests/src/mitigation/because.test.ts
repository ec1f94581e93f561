import { describe, expect, it } from 'vitest';
import type { Hazard } from '../../../src/mitigation/hazards.ts';
import { hazardSentence, type Output } from '../../../src/mitigation/index.ts';
import { ms } from '../../../src/units/index.ts';
import { COOLING, HEATING, Lead, MINUTE, NO_CALL } from './situations.ts';

const HOLD = 5 * MINUTE;

describe('why a compressor is off', () => {
  it('names the sensor, what it says, and how long that will last', () => {
    const lead = new Lead().cooling().at(31_000, { sensors: { 'coil-a': 'gas' } });
    expect(lead.because('compressor.a')).toEqual([
      'coil-a reports gas (30 %LFL; the setpoint is 20 %LFL)',
      'it lasts until 5 min after the last sign of these, and until every sensor reads below 18 %LFL',
    ]);
  });

  it('says what the hold has to run, and that it waits for airflow', () => {
    const lead = new Lead()
      .cooling()
      .at(31_000, { sensors: { one: 'gas' } })
      .at(32_000, { sensors: { one: 'well' } });
    lead.at(92_000);
    expect(lead.because('compressor.a')).toEqual(['the hold has 4 min to run']);
    expect(lead.because('fan')).toEqual(['the hold has 4 min to run']);
    expect(lead.at(92_001, { airflow: false }).because('compressor.a')).toEqual([
      'the hold waits for airflow with 4 min to run',
    ]);
  });

  it('says whom a hold that has passed waits for', () => {
    const lead = new Lead().cooling().at(31_000, { sensors: { one: 'gas', two: 'well' } });
    lead.at(32_000, { sensors: { one: 'lingering', two: 'well' } }).at(32_000 + HOLD);
    expect(lead.because('heat')).toEqual([
      'one has reported gas and is not yet below 18 %LFL (19 %LFL)',
      'the hold has passed; it waits for one below 18 %LFL',
    ]);
    lead.at(32_500 + HOLD, { sensors: { one: 'lingering', two: 'high' }, airflow: false });
    expect(lead.because('fan').at(-1)).toBe('the hold has passed; it waits for one, two below 18 %LFL');
    lead.at(33_000 + HOLD, { sensors: { one: 'well', two: 'well' } });
    expect(lead.because('fan')).toEqual(['the hold has passed; it waits for airflow']);
  });

  it('says that a hold which has passed waits for a reading, then for the record alone', () => {
    const lead = new Lead().cooling().at(31_000, { sensors: { one: 'gas' } });
    lead.at(32_000, { sensors: { one: 'well' } }).at(31_999 + HOLD, { recordWorks: false });
    lead.at(32_000 + HOLD, { readingsStand: true });
    expect(lead.because('heat')).toEqual([
      'the hold has passed; it waits for a fresh reading of every sensor below 18 %LFL',
    ]);
    lead.at(32_100 + HOLD, { readingsStand: false });
    for (const output of ['fan', 'heat', 'compressor.a'] as const)
      expect(lead.because(output)).toEqual(['the hold has passed; it waits until the record takes its end']);
    lead.at(33_000 + HOLD, { recordWorks: true });
    expect(lead.because('fan')).toEqual(['a call for cooling stands']);
  });

  it('says that a start waits for the record, and blames no self-test or time off', () => {
    const lead = new Lead().at(0, { calls: COOLING, recordWorks: false }).until(60_000);
    expect(lead.because('fan')).toEqual(['a call for cooling stands']);
    const waits = ['a call for cooling stands', 'it waits until the record takes the start'];
    expect(lead.because('compressor.a')).toEqual(waits);
    lead.at(61_000, { calls: HEATING });
    expect(lead.because('heat')).toEqual(['a call for heating stands', waits[1]]);
    expect(lead.at(62_000, { calls: NO_CALL }).because('heat')).toEqual(['no call stands']);
    lead.at(63_000, { calls: HEATING, recordWorks: true }).at(64_000);
    expect(lead.because('heat')).toEqual(['a call for heating stands']);
  });

  it('names no more than four hazards', () => {
    const kinds = ['gas', 'silent', 'frozen', 'invalid', 'stranger'] as const;
    const lead = new Lead().at(0, { sensors: Object.fromEntries(kinds.map((kind) => [`at-${kind}`, kind])) });
    expect(lead.because('fan')).toHaveLength(4 + 1);
  });

  it('says what a call waits for: the call, airflow, time off, its turn', () => {
    const lead = new Lead().at(0);
    expect(lead.because('compressor.a')).toEqual(['no call stands']);
    lead.at(1000, { calls: COOLING, airflow: false });
    expect(lead.because('compressor.a')).toEqual(['a call for cooling stands', 'it waits for airflow']);
    lead.at(2000, { airflow: true });
    expect(lead.because('compressor.a')).toEqual(['a call for cooling stands']);
    expect(lead.because('compressor.b')).toEqual([
      'a call for cooling stands',
      'compressors start 10 s apart',
    ]);
    lead.at(3000, { calls: NO_CALL }).at(63_000, { calls: { cooling: true, heating: false, fan: true } });
    expect(lead.because('compressor.a')).toEqual([
      'a call for cooling and fan stands',
      'it has 2 min of its minimum time off to run',
    ]);
  });

  it('counts a time off that has passed as passed, to the millisecond', () => {
    const lead = new Lead().cooling().at(31_000, { calls: NO_CALL }).at(32_000, { calls: COOLING });
    lead.at(31_000 + 3 * MINUTE);
    expect(lead.because('compressor.b')).toEqual([
      'a call for cooling stands',
      'compressors start 10 s apart',
    ]);
  });

  it('knows no compressor of another rig', () => {
    const lead = new Lead().at(0, { calls: COOLING }).at(1000);
    expect(() => lead.because('compressor.elsewhere')).toThrow('no circuit for compressor.elsewhere');
  });
});

describe('why heat is off', () => {
  it('is that there is none, where a unit has none', () => {
    const lead = new Lead({ heat: false }).until(60_000, { calls: HEATING });
    expect(lead.state.commands).toMatchObject({ fan: true, heat: false });
    expect(lead.because('heat')).toEqual(['a call for heating stands', 'this unit has no heat']);
  });

  it('is that cooling comes first, airflow is missing, or the poll to come', () => {
    const lead = new Lead().at(0, { calls: { cooling: true, heating: true, fan: false } }).at(1000);
    expect(lead.because('heat')).toEqual([
      'a call for cooling and heating stands',
      'cooling is served before heating',
    ]);
    const heating = new Lead().at(0, { calls: HEATING, airflow: false });
    expect(heating.because('heat')).toEqual(['a call for heating stands', 'it waits for airflow']);
    heating.around.airflow = true;
    expect(heating.because('heat')).toEqual(['a call for heating stands', 'it waits for the next poll']);
    expect(heating.at(1000).because('heat')).toEqual(['a call for heating stands']);
  });
});

describe('why an output is on', () => {
  it('is the call, a hazard, or the hold', () => {
    const lead = new Lead().cooling();
    expect(lead.because('fan')).toEqual(['a call for cooling stands']);
    expect(lead.because('damper')).toEqual(['a call for cooling stands']);
    lead.at(31_000, { sensors: { one: 'silent' } });
    expect(lead.because('fan')[0]).toBe('one has given no sound answer since 0:00:00');
    expect(lead.because('trouble')).toEqual(['one has given no sound answer since 0:00:00']);
    expect(lead.because('alarm')).toEqual(['nothing asks for alarm']);
  });

  it('is not known before the calls are', () => {
    const lead = new Lead().at(0, { everHeard: false });
    for (const output of ['fan', 'heat', 'compressor.a'] as const)
      expect(lead.because(output)).toEqual(['the calls are not known yet']);
  });

  it('is not a hazard that asks for something else', () => {
    const lead = new Lead().at(0, { calls: COOLING, sensors: { one: 'untested' } });
    expect(lead.because('fan')).toEqual(['a call for cooling stands']);
  });
});

describe('every hazard', () => {
  it('has a sentence that a person can check', () => {
    const says = (kind: Lead['around']['sensors'][string], output: Output = 'fan') =>
      new Lead().at(0, { sensors: { 'coil-a': kind } }).because(output)[0];
    expect(says('contradiction')).toBe('coil-a reads 30 %LFL while its own state says clear');
    expect(says('selfFailed')).toBe('coil-a reports that it has failed');
    expect(says('frozen')).toBe('the measurement counter of coil-a stands still');
    expect(says('invalid')).toBe('coil-a answers without a valid reading');
    expect(says('stranger')).toBe('the sensor at the address of coil-a has another serial than planned');
    expect(says('untested', 'heat')).toBe('coil-a has not yet passed its self-test');
  });

  it('tells the lock-out with the numbers of the policy, where it has any', () => {
    const lead = new Lead({ latchAfter: { trips: 3, withinMs: ms(86_400_000) } }, { record: 'lockedOut' });
    expect(lead.at(0).because('trouble')).toEqual([
      'gas tripped 3 times within 24 h; a person must press service reset while nothing is wrong',
    ]);
    expect(new Lead({}, { record: 'lockedOut' }).at(0).because('trouble')[0]).toContain('too often');
  });

  it('does not need to know more of a sensor than its name', () => {
    const lead = new Lead().at(0);
    const say = (hazard: Hazard) =>
      hazardSentence({ hazard, subject: 'gone' }, lead.situation(), lead.policy);
    expect(say('gas')).toBe('gone has reported gas and is not yet below 18 %LFL (no reading)');
    expect(say('silent')).toBe('gone has given no sound answer since power-up');
    expect(say('fieldIoSilent')).toBe('the field I/O has not answered since power-up');
  });
});
