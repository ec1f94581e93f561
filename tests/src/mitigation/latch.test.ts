/** Repeated gas trips lock the equipment out until a person presses service reset with nothing wrong. */
import { describe, expect, it } from 'vitest';
import { ms } from '../../../src/units/index.ts';
import { COOLING, Lead, MINUTE } from './situations.ts';

const HOLD = 5 * MINUTE;
const HOUR = 60 * MINUTE;
const LATCH = { latchAfter: { trips: 3, withinMs: ms(24 * HOUR) } };

/** A minute of gas at `atMs`, and the hold after it; ends served again where nothing locks. */
function episode(lead: Lead, atMs: number): Lead {
  lead.at(atMs, { sensors: { one: 'gas' } }).at(atMs + MINUTE, { sensors: { one: 'well' } });
  return lead.at(atMs + MINUTE + HOLD).at(atMs + MINUTE + HOLD + 1000);
}

function tripped(times: number, everyMs = HOUR): Lead {
  const lead = new Lead(LATCH).cooling();
  for (let trip = 1; trip <= times; trip += 1) episode(lead, trip * everyMs);
  return lead;
}

const counts = (lead: Lead) =>
  lead.facts.flatMap((fact) => (fact.id === 'trip.counted' ? [fact.fields.count] : []));

describe('gas trips', () => {
  it('lock out with the third within the window, in the step that sees it', () => {
    const lead = tripped(2);
    expect(lead.phase).toBe('running');
    lead.at(3 * HOUR, { sensors: { one: 'gas' } });
    expect(lead.phase).toBe('lockedOut');
    expect(lead.mitigates).toBe(true);
    expect(lead.state.commands).toMatchObject({ alarm: true, trouble: true });
    expect(counts(lead)).toEqual([1, 2, 3]);
  });

  it('lock out by contradictions as well', () => {
    const lead = tripped(2).at(3 * HOUR, { sensors: { one: 'contradiction' } });
    expect(lead.phase).toBe('lockedOut');
  });

  it('do not count silence or failure', () => {
    const lead = tripped(2)
      .at(3 * HOUR, { sensors: { one: 'silent' } })
      .at(3 * HOUR + 1000, { sensors: { one: 'selfFailed' } });
    expect(lead.phase).toBe('mitigating');
  });

  it('count once an episode, however often gas comes back in its hold', () => {
    const lead = tripped(1);
    for (let second = 0; second < 60; second += 1)
      lead.at(2 * HOUR + second * 1000, { sensors: { one: second % 2 === 0 ? 'gas' : 'well' } });
    expect(lead.phase).toBe('holding');
    expect(counts(lead)).toEqual([1, 2]);
  });

  it('count when gas joins an episode that began otherwise', () => {
    const lead = tripped(2)
      .at(3 * HOUR, { sensors: { one: 'silent' } })
      .at(3 * HOUR + 1000, { sensors: { one: 'gas' } });
    expect(lead.phase).toBe('lockedOut');
  });

  it('count at the gas of any one sensor, beside others that are well', () => {
    const lead = tripped(2).at(3 * HOUR, { sensors: { one: 'well', two: 'gas', three: 'well' } });
    expect(lead.phase).toBe('lockedOut');
  });

  it('no longer count once they are older than the window', () => {
    const lead = tripped(2).until(26 * HOUR, {}, HOUR);
    lead.at(26 * HOUR + 1, { sensors: { one: 'gas' } });
    // The first, at 1 h, is out; the second, at 2 h, counts to the last millisecond.
    expect(lead.phase).toBe('mitigating');
    expect(lead.state.tripsAtMs).toEqual([26 * HOUR + 1]);
  });

  it('are not forgotten by a press where nothing is locked', () => {
    const lead = tripped(1).at(2 * HOUR, { sensors: { one: 'gas' } });
    lead.at(2 * HOUR + 1000, { sensors: { one: 'well' } }).at(2 * HOUR + 2000, { serviceReset: true });
    expect(lead.phase).toBe('holding');
    lead.until(2 * HOUR + 2 * HOLD, { serviceReset: false }, MINUTE);
    expect(lead.at(3 * HOUR, { sensors: { one: 'gas' } }).phase).toBe('lockedOut');
  });

  it('count up to the last moment of the window', () => {
    const lead = tripped(2).at(25 * HOUR, { sensors: { one: 'gas' } });
    expect(lead.phase).toBe('lockedOut');
  });

  it('count over a power cut, by their age', () => {
    const lead = new Lead(LATCH, { record: 'orderly', tripAgesMs: [HOUR, 2 * HOUR] }).cooling();
    expect(lead.at(HOUR, { sensors: { one: 'gas' } }).phase).toBe('lockedOut');
  });

  it('do not count anew where the power cut came inside their episode', () => {
    const again = { record: 'disorderly', tripAgesMs: [HOUR, MINUTE], tripCounted: true } as const;
    const lead = new Lead(LATCH, again).at(0, { sensors: { one: 'gas' } });
    expect(lead.phase).toBe('mitigating');
  });

  it('never lock where the policy has no latch, and are not counted', () => {
    const lead = new Lead().cooling();
    for (let trip = 1; trip <= 9; trip += 1) episode(lead, trip * HOUR);
    expect(lead.phase).toBe('running');
    expect(counts(lead)).toEqual([]);
  });
});

describe('the lock', () => {
  it('lasts until a press, whatever time passes', () => {
    const lead = tripped(3);
    expect(lead.until(100 * HOUR, {}, HOUR).phase).toBe('lockedOut');
    lead.at(101 * HOUR, { serviceReset: true });
    expect(lead.phase).toBe('holding');
    // The hold has run beside the lock.
    expect(lead.at(101 * HOUR + 1000).phase).toBe('running');
  });

  it('ignores a press while a finding stands, and wants another', () => {
    const lead = tripped(2).at(3 * HOUR, { sensors: { one: 'gas' } });
    for (const kind of ['gas', 'lingering', 'silent', 'stranger'] as const) {
      lead.at(lead.nowMs + 1000, { sensors: { one: kind }, serviceReset: true });
      expect(lead.phase).toBe('lockedOut');
      lead.at(lead.nowMs + 1000, { sensors: { one: 'well' } });
      expect(lead.phase).toBe('lockedOut');
      lead.at(lead.nowMs + 1000, { serviceReset: false });
    }
    expect(lead.at(lead.nowMs + 1000, { serviceReset: true }).phase).toBe('holding');
  });

  it('forgets nothing with a press that unlocks nothing', () => {
    const lead = new Lead(LATCH, { record: 'lockedOut', tripAgesMs: [HOUR, 2 * HOUR] });
    lead.at(0, { sensors: { one: 'silent' } }).at(1000, { serviceReset: true });
    expect(lead.phase).toBe('lockedOut');
    lead.at(2000, { sensors: { one: 'gas' }, serviceReset: false });
    expect(counts(lead)).toEqual([3]);
    lead.at(3000, { sensors: { one: 'well' } }).at(4000, { serviceReset: true });
    expect([lead.phase, lead.state.tripsAtMs]).toEqual(['holding', []]);
  });

  it('is not reset by a button that was held, or taped, since before', () => {
    const taped = new Lead({}, { record: 'lockedOut' }).at(0, { serviceReset: true, calls: COOLING });
    expect(taped.until(HOUR).phase).toBe('lockedOut');
  });

  it('is not reset by a button found pressed when the field I/O is heard again', () => {
    const lead = tripped(3).at(10 * HOUR, { silentSinceMs: ms(10 * HOUR - 5000) });
    lead.at(10 * HOUR + 1000, { silentSinceMs: null, serviceReset: true }).until(10 * HOUR + MINUTE);
    expect(lead.phase).toBe('lockedOut');
    lead.at(11 * HOUR, { serviceReset: false }).at(11 * HOUR + 1000, { serviceReset: true });
    expect(lead.phase).toBe('holding');
  });

  it('still owes the rest of the hold after a reset that came early', () => {
    const lead = tripped(2)
      .at(3 * HOUR, { sensors: { one: 'gas' } })
      .at(3 * HOUR + MINUTE, { sensors: { one: 'well' } });
    lead.at(3 * HOUR + 2 * MINUTE, { serviceReset: true });
    expect(lead.phase).toBe('holding');
    expect(lead.until(3 * HOUR + MINUTE + HOLD - 1).mitigates).toBe(true);
    expect(lead.at(3 * HOUR + MINUTE + HOLD).phase).toBe('running');
  });

  it('starts the hold anew with gas that comes while locked', () => {
    const lead = tripped(3)
      .at(4 * HOUR, { sensors: { one: 'gas' } })
      .at(4 * HOUR + MINUTE, { sensors: { one: 'well' } });
    lead.at(4 * HOUR + MINUTE + 1000, { serviceReset: true });
    expect(lead.until(4 * HOUR + MINUTE + HOLD - 1).mitigates).toBe(true);
  });

  it('forgets its trips with the reset: it takes three more', () => {
    const lead = tripped(3)
      .at(4 * HOUR, { serviceReset: true })
      .at(4 * HOUR + 1000, { serviceReset: false });
    episode(episode(lead, 5 * HOUR), 6 * HOUR);
    expect(lead.phase).toBe('running');
    expect(lead.at(7 * HOUR, { sensors: { one: 'gas' } }).phase).toBe('lockedOut');
  });

  it('survives a power cut', () => {
    const lead = new Lead({}, { record: 'lockedOut' }).at(0, { calls: COOLING });
    expect(lead.mitigates).toBe(true);
    expect(lead.until(2 * HOUR, {}, MINUTE).phase).toBe('lockedOut');
  });
});
