import { describe, expect, it } from 'vitest';
import { textOf } from '../../../src/events/index.ts';
import { stepMitigation } from '../../../src/mitigation/index.ts';
import { ms } from '../../../src/units/index.ts';
import { COOLING, Lead } from './situations.ts';

const MINUTE = 60_000;

describe('facts', () => {
  it('tell what changed, in the step in which it did, and nothing twice', () => {
    const lead = new Lead().at(0, { calls: COOLING }).at(1000);
    lead.facts.length = 0;
    lead.until(5000);
    expect(lead.facts).toEqual([]);
    lead.at(6000, { sensors: { 'coil-a': 'gas' } });
    expect(lead.facts.map((fact) => `${fact.atMs} ${textOf(fact)}`)).toEqual([
      '6000 coil-a reports gas (30 %LFL; the setpoint is 20 %LFL)',
      '6000 Mitigation went from running to mitigating: coil-a reports gas (30 %LFL; the setpoint is 20 %LFL)',
      '6000 The supervisor turned alarm on',
      '6000 The supervisor turned compressor.a off',
    ]);
    lead.facts.length = 0;
    lead.until(10_000);
    expect(lead.facts).toEqual([]);
  });

  it('carry the reasons of a command', () => {
    const lead = new Lead().at(0).at(1000, { sensors: { 'coil-a': 'silent' } });
    const fan = lead.facts.find((fact) => fact.id === 'command.changed' && fact.fields.output === 'fan');
    expect(fan?.fields).toEqual({
      output: 'fan',
      on: true,
      because: [
        'coil-a has given no sound answer since 0:00:00',
        'it lasts until 5 min after the last sign of these, and until every sensor reads below 18 %LFL',
      ],
    });
  });

  it('say why a phase was entered when no hazard stands any more', () => {
    const lead = new Lead().at(0).at(1000, { fire: true }).at(2000, { fire: false });
    const changes = lead.facts.filter((fact) => fact.id === 'mitigation.changed');
    expect(changes.map((fact) => fact.fields.reason)).toEqual([
      'every sensor has passed its self-test',
      'the fire signal stands',
      'the fire is over',
    ]);
  });

  it('say of a hold what it really comes from', () => {
    const latchAfter = { trips: 1, withinMs: ms(86_400_000) };
    const gas = { sensors: { 'coil-a': 'gas' } } as const;
    const reasons = (lead: Lead) =>
      lead.facts.flatMap((fact) =>
        fact.id === 'mitigation.changed' && fact.fields.to === 'holding' ? [fact.fields.reason] : [],
      );
    const burnt = new Lead().at(0).at(1000, gas).at(2000, { fire: true }).at(3000, { fire: false });
    expect(reasons(burnt)).toEqual(['the fire is over; the hold begins at its full length']);
    const reset = new Lead({ latchAfter })
      .at(0)
      .at(1000, gas)
      .at(2000, { sensors: { 'coil-a': 'well' } });
    reset.at(3000, { serviceReset: true });
    expect(reasons(reset)).toEqual(['a person pressed service reset while nothing was wrong']);
  });

  it('name what is new as the reason of a change, not what stood all along', () => {
    const lead = new Lead()
      .at(0)
      .at(1000, { sensors: { 'coil-a': 'gas', 'coil-b': 'well' } })
      .at(2000, { sensors: { 'coil-a': 'lingering', 'coil-b': 'well' } })
      .at(3000, { sensors: { 'coil-a': 'lingering', 'coil-b': 'silent' } });
    const changes = lead.facts.filter((fact) => fact.id === 'mitigation.changed');
    expect(changes.at(-1)?.fields).toEqual({
      from: 'holding',
      to: 'mitigating',
      reason: 'coil-b has given no sound answer since 0:00:00',
    });
  });

  it('tell sensors apart that have the same trouble', () => {
    const lead = new Lead()
      .at(0)
      .at(1000, { sensors: { 'coil-a': 'frozen', 'coil-b': 'well', 'coil-c': 'frozen' } });
    lead.facts.length = 0;
    lead.at(2000, { sensors: { 'coil-a': 'well', 'coil-b': 'frozen', 'coil-c': 'frozen' } });
    const told = lead.facts.map((fact) => [fact.id, 'subject' in fact.fields ? fact.fields.subject : null]);
    expect(told).toEqual([
      ['hazard.raised', 'coil-b'],
      ['hazard.cleared', 'coil-a'],
    ]);
  });

  it('tell of a mitigation though a release had just been recorded', () => {
    const lead = new Lead().at(0, { recordWorks: false });
    const found = {
      ...lead.situation(),
      sensors: lead.at(1, { sensors: { one: 'gas' } }).situation().sensors,
    };
    const { facts, state } = stepMitigation(new Lead().state, found, lead.policy, ms(1000), true);
    expect(state.phase.kind).toBe('mitigating');
    expect(facts.map((fact) => fact.id)).toContain('mitigation.changed');
  });

  it('count a trip once', () => {
    const lead = new Lead({ latchAfter: { trips: 2, withinMs: ms(24 * 60 * MINUTE) } }).at(0);
    lead
      .at(1000, { sensors: { one: 'gas' } })
      .at(1000)
      .at(2000);
    const counted = lead.facts.filter((fact) => fact.id === 'trip.counted');
    expect(counted.map((fact) => fact.fields)).toEqual([{ count: 1, withinMs: 24 * 60 * MINUTE }]);
  });
});
