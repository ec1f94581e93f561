import { describe, expect, it } from 'vitest';
import { type Commands, powerUpState } from '../../../src/mitigation/index.ts';
import { ms } from '../../../src/units/index.ts';
import { COOLING, HEATING, Lead, MINUTE, NO_CALL } from './situations.ts';

const HOLD = 5 * MINUTE;

describe('starting', () => {
  it('lasts until every sensor has passed its self-test, with compressors and heat off', () => {
    const lead = new Lead().at(0, { calls: COOLING, sensors: { one: 'untested', two: 'well' } });
    expect(lead.until(60_000).phase).toBe('starting');
    expect(lead.stopped).toBe(true);
    expect(lead.at(61_000, { sensors: { one: 'well', two: 'well' } }).phase).toBe('running');
  });

  it('turns to mitigation when something is found meanwhile', () => {
    const lead = new Lead().at(0, { sensors: { one: 'untested', two: 'stranger' } });
    expect(lead.phase).toBe('mitigating');
    expect(lead.mitigates).toBe(true);
  });

  it('begins in the hold unless the record is new or shows an orderly stop', () => {
    expect(new Lead({}, { record: 'empty' }).phase).toBe('starting');
    expect(new Lead({}, { record: 'orderly' }).phase).toBe('starting');
    expect(new Lead({}, { record: 'disorderly' }).phase).toBe('holding');
    expect(new Lead({}, { record: 'lockedOut' }).phase).toBe('lockedOut');
  });

  it('after a disorderly stop serves nothing before a whole hold', () => {
    const lead = new Lead({}, { record: 'disorderly' }).at(0, { calls: COOLING });
    expect(lead.mitigates).toBe(true);
    // Airflow is proven from the first step after the fan came on.
    expect(lead.until(HOLD).mitigates).toBe(true);
    expect(lead.at(HOLD + 1000).phase).toBe('running');
  });

  it('does not serve a call whose field I/O was never heard', () => {
    const lead = new Lead().at(0, { calls: COOLING, everHeard: false }).until(20_000);
    expect(lead.stopped).toBe(true);
    expect(lead.state.commands.fan).toBe(false);
    expect(lead.until(22_000, { everHeard: true }).state.commands.compressors).toEqual([true, false]);
  });
});

describe('a machine that powers up', () => {
  it('commands nothing, knows nothing, and has its trips in order', () => {
    const powerUp = { record: 'orderly', tripAgesMs: [1000, 5000, 3000], tripCounted: false } as const;
    const off = { on: false, sinceMs: 10_000 };
    expect(powerUpState(2, powerUp, ms(10_000))).toEqual({
      phase: { kind: 'starting', sinceMs: 10_000 },
      standing: [],
      commands: {
        ...{ fan: false, damper: false, heat: false, alarm: false, trouble: false },
        compressors: [false, false],
      },
      compressors: [off, off],
      tripsAtMs: [5000, 7000, 9000],
      tripCounted: false,
      resetWasHeld: true,
      airflowMissingSinceMs: null,
      airflowUnaskedSinceMs: null,
      runningUnaskedSinceMs: [null, null],
    });
  });
});

describe('a machine that goes on as before', () => {
  it('keeps its commands as they are, and since when it runs', () => {
    const lead = new Lead().cooling();
    const { commands, phase } = lead.state;
    lead.until(40_000);
    expect(lead.state.commands).toBe(commands);
    expect(lead.state.phase).toEqual({ kind: 'running', sinceMs: 0 });
    expect(phase).toEqual({ kind: 'running', sinceMs: 0 });
  });

  it('notices a lamp, a compressor or heat that changes alone', () => {
    const lead = new Lead().cooling();
    const noticed = (changes: Parameters<Lead['until']>[1], afterMs: number): Commands =>
      lead.until(lead.nowMs + afterMs, changes).state.commands;
    expect(noticed({ welded: [0], calls: NO_CALL }, 8000)).toMatchObject({ trouble: true, fan: true });
    expect(noticed({ calls: HEATING }, 2000)).toMatchObject({ heat: true, compressors: [false, false] });
    expect(noticed({ calls: COOLING }, 3 * MINUTE)).toMatchObject({
      heat: false,
      compressors: [true, false],
    });
    expect(noticed({}, 11_000)).toMatchObject({ compressors: [true, true] });
  });
});

describe('tripping', () => {
  it('changes the commands in the step that sees it', () => {
    const lead = new Lead().cooling();
    expect(lead.state.commands.compressors).toEqual([true, true]);
    lead.at(31_000, { sensors: { 'coil-a': 'gas', 'coil-b': 'well' } });
    expect(lead.mitigates).toBe(true);
    expect(lead.state.commands.alarm).toBe(true);
    expect(lead.phase).toBe('mitigating');
  });

  it('does not wait for a record that takes nothing', () => {
    const lead = new Lead().cooling();
    lead.at(31_000, { recordWorks: false, sensors: { 'coil-a': 'silent' } });
    expect(lead.mitigates).toBe(true);
  });
});

describe('the hold', () => {
  const tripped = () =>
    new Lead()
      .cooling()
      .at(31_000, { sensors: { 'coil-a': 'gas' } })
      .at(40_000, { sensors: { 'coil-a': 'well' } });

  it('counts from the first step without gas, failure or silence', () => {
    const lead = tripped();
    expect(lead.phase).toBe('holding');
    expect(lead.until(40_000 + HOLD - 1).mitigates).toBe(true);
    expect(lead.at(40_000 + HOLD).phase).toBe('running');
  });

  it('begins anew with every moment of gas or unknown', () => {
    for (const kind of [
      'gas',
      'contradiction',
      'silent',
      'selfFailed',
      'frozen',
      'invalid',
      'stranger',
    ] as const) {
      const lead = tripped().until(200_000);
      lead.at(201_000, { sensors: { 'coil-a': kind } });
      expect(lead.phase).toBe('mitigating');
      lead.at(202_000, { sensors: { 'coil-a': 'well' } });
      expect(lead.until(202_000 + HOLD - 1).mitigates).toBe(true);
      expect(lead.at(202_000 + HOLD).phase).toBe('running');
    }
  });

  it('runs while gas lingers between the clearing level and the setpoint, and releases only below', () => {
    const lead = tripped().at(41_000, { sensors: { 'coil-a': 'lingering' } });
    expect(lead.phase).toBe('holding');
    expect(lead.until(40_000 + HOLD + 60_000).mitigates).toBe(true);
    expect(lead.at(40_000 + HOLD + 61_000, { sensors: { 'coil-a': 'well' } }).phase).toBe('running');
  });

  it('waits for a sensor that is above the clearing level or has lost its pass', () => {
    for (const kind of ['high', 'untested'] as const) {
      const lead = tripped().until(40_000 + HOLD - 1);
      expect(lead.until(40_000 + HOLD + 30_000, { sensors: { 'coil-a': kind } }).phase).toBe('holding');
      expect(lead.at(40_000 + HOLD + 31_000, { sensors: { 'coil-a': 'well' } }).phase).toBe('running');
    }
  });

  it('counts only while airflow is proven, and keeps what has run', () => {
    const lead = tripped().until(100_000);
    lead.at(100_000, { airflow: false }).until(400_000);
    expect(lead.phase).toBe('holding');
    lead.at(500_000, { airflow: true });
    expect(lead.until(500_000 + HOLD - 60_000 - 1).phase).toBe('holding');
    expect(lead.at(500_000 + HOLD - 60_000).phase).toBe('running');
  });

  it('keeps what has run over any number of breaks', () => {
    const lead = tripped().until(100_000);
    lead.at(100_000, { airflow: false }).at(200_000, { airflow: true }).until(260_000);
    lead.at(260_000, { airflow: false }).at(300_000, { airflow: true });
    expect(lead.until(300_000 + HOLD - 120_000 - 1).phase).toBe('holding');
    expect(lead.at(300_000 + HOLD - 120_000).phase).toBe('running');
  });

  it('does not count the time in which the field I/O was already silent', () => {
    const lead = tripped().until(100_000);
    lead.at(105_000, { silentSinceMs: lead.nowMs });
    expect(lead.phase).toBe('holding');
    lead.at(200_000, { silentSinceMs: null });
    expect(lead.until(200_000 + HOLD - 60_000 - 1).phase).toBe('holding');
    expect(lead.at(200_000 + HOLD - 60_000).phase).toBe('running');
  });

  it('does not count the time after airflow was proven for the last time', () => {
    const lead = tripped().until(100_000);
    lead.at(104_900, { airflow: false }).at(200_000, { airflow: true });
    expect(lead.until(200_000 + HOLD - 60_000 - 1).phase).toBe('holding');
    expect(lead.at(200_000 + HOLD - 60_000).phase).toBe('running');
  });

  it('wants airflow proven after its end', () => {
    const lead = tripped().until(40_000 + HOLD - 1);
    expect(lead.until(40_000 + HOLD + 4000, { inputsStand: true }).phase).toBe('holding');
    expect(lead.at(40_000 + HOLD + 4500, { inputsStand: false }).phase).toBe('running');
  });

  it('never runs backwards where silence began before the airflow came', () => {
    const lead = tripped().until(100_000, { airflow: false }).at(101_000, { airflow: true });
    const before = lead.state.phase;
    lead.at(106_000, { silentSinceMs: before.sinceMs });
    expect(lead.state.phase).toMatchObject({ kind: 'holding', hold: { runningSinceMs: null } });
    expect(lead.state.phase.kind === 'holding' && lead.state.phase.hold.ranMs).toBeGreaterThanOrEqual(0);
  });

  it('wants a reading of every sensor from after its end', () => {
    const lead = tripped().until(40_000 + HOLD - 1);
    expect(lead.until(40_000 + HOLD + 30_000, { readingsStand: true }).phase).toBe('holding');
    expect(lead.at(40_000 + HOLD + 31_000, { readingsStand: false }).phase).toBe('running');
  });
});

describe('a hold without a sensor', () => {
  it('runs its whole length all the same', () => {
    const lead = new Lead({}, { record: 'disorderly' }).at(0, { sensors: {}, airflow: true });
    expect(lead.until(HOLD - 1).phase).toBe('holding');
    expect(lead.at(HOLD).phase).toBe('running');
  });
});

describe('releasing', () => {
  it('that waits for the record keeps the readings that allowed it', () => {
    const lead = new Lead().at(0).at(31_000, { sensors: { one: 'gas' } });
    lead.at(40_000, { sensors: { one: 'lingering' } });
    lead.until(40_000 + HOLD + 10_000).at(400_000, { airflow: false });
    // Airflow is back and all is well, but the record takes nothing; then nobody hears the sensors any more.
    lead.at(410_000, { airflow: true, sensors: { one: 'well' }, recordWorks: false });
    expect(lead.phase).toBe('holding');
    lead.at(530_000, { readingsStand: true, recordWorks: true });
    expect(lead.phase).toBe('running');
  });

  it('waits for the record, from a start and from a hold', () => {
    const lead = new Lead().at(0, { calls: COOLING, recordWorks: false }).until(60_000);
    expect(lead.phase).toBe('starting');
    expect(lead.stopped).toBe(true);
    expect(lead.at(61_000, { recordWorks: true }).phase).toBe('running');

    lead.at(62_000, { sensors: { 'coil-a': 'gas' } }).at(63_000, { sensors: { 'coil-a': 'well' } });
    expect(lead.until(63_000 + HOLD + 60_000, { recordWorks: false }).mitigates).toBe(true);
    expect(lead.at(63_000 + HOLD + 61_000, { recordWorks: true }).phase).toBe('running');
  });

  it('says why, once', () => {
    const lead = new Lead()
      .at(0)
      .at(1000, { sensors: { one: 'gas' } })
      .at(2000, { sensors: { one: 'well' } });
    lead.until(2000 + HOLD);
    const changes = lead.facts.filter((fact) => fact.id === 'mitigation.changed');
    expect(changes.map((fact) => `${fact.fields.from} ${fact.fields.to}: ${fact.fields.reason}`)).toEqual([
      'starting running: every sensor has passed its self-test',
      'running mitigating: one reports gas (30 %LFL; the setpoint is 20 %LFL)',
      'mitigating holding: no sensor is at the setpoint, failed or silent any longer',
      'holding running: the hold has passed and every sensor reads below the clearing level',
    ]);
  });
});

describe('a fire', () => {
  it('stops everything, fan included, and comes before gas', () => {
    const lead = new Lead().cooling().at(31_000, { fire: true, sensors: { one: 'gas' } });
    expect(lead.state.commands).toMatchObject({
      fan: false,
      damper: false,
      heat: false,
      compressors: [false, false],
    });
    expect(lead.state.commands.alarm).toBe(true);
  });

  it('is followed by a start as after a power-up', () => {
    const lead = new Lead().cooling().at(31_000, { fire: true }).at(40_000, { fire: false });
    expect(lead.phase).toBe('starting');
    expect(lead.at(41_000).phase).toBe('running');
  });

  it('that stands at a power-up is followed by the start that it put off', () => {
    const lead = new Lead().at(0, { fire: true, sensors: { one: 'untested' } }).at(5000, { fire: false });
    expect(lead.phase).toBe('starting');
    expect(lead.at(6000, { sensors: { one: 'well' } }).phase).toBe('running');
  });

  it('does not end a mitigation, a hold or a lock-out that it interrupts', () => {
    for (const kind of ['gas', 'well'] as const) {
      const lead = new Lead()
        .cooling()
        .at(31_000, { sensors: { one: 'gas' } })
        .at(32_000, { sensors: { one: kind } });
      lead.at(33_000, { fire: true }).at(34_000, { fire: false, sensors: { one: 'well' } });
      expect(lead.mitigates).toBe(true);
      expect(lead.until(34_000 + HOLD).phase).toBe('holding');
      expect(lead.until(34_000 + HOLD + 2000).phase).toBe('running');
    }
    const locked = new Lead({}, { record: 'lockedOut' })
      .at(0)
      .at(1000, { fire: true })
      .at(2000, { fire: false });
    expect(locked.phase).toBe('lockedOut');
  });

  it('does not hide gas that comes and goes while it stands: the hold follows', () => {
    const lead = new Lead().cooling().at(31_000, { fire: true });
    lead.at(40_000, { sensors: { one: 'gas' } }).at(50_000, { sensors: { one: 'well' } });
    lead.at(60_000, { fire: false });
    expect(lead.mitigates).toBe(true);
    expect(lead.until(60_000 + HOLD).mitigates).toBe(true);
  });

  it('does not swallow the trip that locks out', () => {
    const lead = new Lead({ latchAfter: { trips: 1, withinMs: ms(86_400_000) } }).cooling();
    lead.at(31_000, { fire: true, sensors: { one: 'gas' } }).at(40_000, { sensors: { one: 'well' } });
    lead.at(41_000, { fire: false });
    expect(lead.phase).toBe('lockedOut');
  });

  it('counts from when it began, however long it lasts', () => {
    const lead = new Lead().cooling().at(31_000, { fire: true }).until(90_000);
    expect(lead.state.phase).toMatchObject({ kind: 'fire', sinceMs: 31_000 });
  });
});

describe('heat', () => {
  it('comes with its call once airflow is proven, and goes with it', () => {
    const lead = new Lead().at(0, { calls: HEATING });
    expect(lead.state.commands).toMatchObject({ fan: true, heat: false });
    expect(lead.at(1000).state.commands.heat).toBe(true);
    expect(lead.at(2000, { calls: NO_CALL }).state.commands).toMatchObject({ fan: false, heat: false });
  });
});
