/** One test a row of the hazard table: what it asks for, who shows it, what ends it. */
import { describe, expect, it } from 'vitest';
import { type Effects, effectsOf } from '../../../src/mitigation/assess.ts';
import { EFFECTS, HAZARDS, type Hazard } from '../../../src/mitigation/hazards.ts';
import { ms } from '../../../src/units/index.ts';
import { COOLING, Lead, MINUTE, NO_CALL, type SensorKind, type Surroundings } from './situations.ts';

const HOLD = 5 * MINUTE;
const FEEDBACK = 5000;

/** Findings, whose rows share everything but who shows them. */
const FINDINGS = {
  gas: 'alarm',
  contradiction: 'alarm',
  silent: 'trouble',
  selfFailed: 'trouble',
  frozen: 'trouble',
  invalid: 'trouble',
  stranger: 'trouble',
} as const satisfies Partial<Record<Hazard & SensorKind, string>>;

const rows = Object.entries(FINDINGS) as [keyof typeof FINDINGS, 'alarm' | 'trouble'][];

/** Standing hazards by name and subject. */
const standing = (lead: Lead) => lead.state.standing.map(({ hazard, subject }) => `${hazard} ${subject}`);
/** Titles of hazards told to be over. */
const over = (lead: Lead) =>
  lead.facts.flatMap((fact) => (fact.id === 'hazard.cleared' ? [fact.fields.title] : []));
const sensors = (kind: SensorKind): Partial<Surroundings> => ({
  sensors: { 'coil-a': kind, 'coil-b': 'well' },
});

describe.each(rows)('%s', (finding, shownAs) => {
  it('mitigates in the step that finds it, whatever is called for', () => {
    const lead = new Lead().cooling().at(31_000, sensors(finding));
    expect(standing(lead)).toEqual([`${finding} coil-a`]);
    expect(lead.mitigates).toBe(true);
    expect(lead.at(32_000, { calls: NO_CALL }).mitigates).toBe(true);
  });

  it(`is shown as ${shownAs}, and as nothing else, while it stands`, () => {
    const lead = new Lead().cooling().at(31_000, sensors(finding));
    const shown = { alarm: shownAs === 'alarm', trouble: shownAs === 'trouble' };
    expect(lead.state.commands).toMatchObject(shown);
    expect(lead.until(60_000).state.commands).toMatchObject(shown);
    expect(lead.at(61_000, sensors('well')).state.commands).toMatchObject({ alarm: false, trouble: false });
    expect(over(lead)).toEqual([HAZARDS[finding].title]);
  });

  it('is cleared by the hold, not by its own end', () => {
    const lead = new Lead().cooling().at(31_000, sensors(finding)).at(60_000, sensors('well'));
    expect(lead.until(60_000 + HOLD - 1).mitigates).toBe(true);
    expect(lead.at(60_000 + HOLD).stopped).toBe(false);
    expect(HAZARDS[finding].clears).toBe('afterHold');
  });

  it('mitigates in the very step in which a fire ends', () => {
    const lead = new Lead()
      .at(0)
      .at(1000, { fire: true })
      .at(2000, { fire: false, ...sensors(finding) });
    expect(lead.mitigates).toBe(true);
    expect(lead.phase).toBe('mitigating');
  });

  it('is named as the reason of fan, dampers, compressors and its lamp', () => {
    const lead = new Lead().cooling().at(31_000, sensors(finding));
    for (const output of ['fan', 'damper', 'heat', 'compressor.a', shownAs] as const)
      expect(lead.because(output)[0]).toContain('coil-a');
  });
});

describe('fire', () => {
  it('turns everything off, shows alarm, and is the strongest', () => {
    const lead = new Lead().cooling().at(31_000, { fire: true, ...sensors('silent') });
    expect(standing(lead)).toEqual(['fire rig', 'silent coil-a']);
    expect(lead.state.commands).toMatchObject({ fan: false, damper: false, alarm: true });
    expect(lead.stopped).toBe(true);
    expect(lead.because('fan')).toEqual(['the fire signal stands', 'at a fire everything is off']);
  });

  it('is cleared by its end, then as after a power-up', () => {
    const lead = new Lead()
      .cooling()
      .at(31_000, { fire: true })
      .at(32_000, { fire: false, ...sensors('untested') });
    expect(lead.until(60_000).phase).toBe('starting');
    expect(lead.at(61_000, sensors('well')).phase).toBe('running');
    expect(HAZARDS.fire.clears).toBe('powerUp');
    expect(over(lead)).toContain(HAZARDS.fire.title);
  });
});

describe('repeatedTrips', () => {
  const locked = () => new Lead({}, { record: 'lockedOut' }).at(0, { calls: COOLING }).until(2 * HOLD);

  it('mitigates with trouble for as long as the lock lasts, though nothing else stands', () => {
    const lead = locked();
    expect(standing(lead)).toEqual(['repeatedTrips rig']);
    expect(lead.mitigates).toBe(true);
    expect(lead.state.commands).toMatchObject({ alarm: false, trouble: true });
    expect(lead.at(2 * HOLD + 1000, { calls: NO_CALL }).mitigates).toBe(true);
    for (const output of ['fan', 'damper', 'heat', 'compressor.a', 'trouble'] as const)
      expect(lead.because(output)[0]).toContain('service reset');
  });

  it('is over with the lock itself', () => {
    const lead = locked();
    lead.at(2 * HOLD + 1000, { serviceReset: true });
    expect(standing(lead)).toEqual([]);
    expect(lead.state.commands.trouble).toBe(false);
    expect(lead.at(2 * HOLD + 2000, { serviceReset: false }).phase).toBe('running');
    expect(HAZARDS.repeatedTrips.clears).toBe('itself');
  });
});

describe('fieldIoSilent', () => {
  it('mitigates with trouble while the field I/O is silent, and serves again when it is not', () => {
    const lead = new Lead().cooling().at(31_000, { silentSinceMs: ms(26_000) });
    expect(standing(lead)).toEqual(['fieldIoSilent fieldIo']);
    expect(lead.mitigates).toBe(true);
    expect(lead.state.commands).toMatchObject({ alarm: false, trouble: true });
    for (const output of ['fan', 'damper', 'heat', 'compressor.a', 'trouble'] as const)
      expect(lead.because(output)[0]).toBe('the field I/O has not answered since 0:00:26');
    expect(lead.at(31_500, { calls: NO_CALL }).mitigates).toBe(true);
    lead.at(32_000, { silentSinceMs: null, calls: NO_CALL });
    expect(standing(lead)).toEqual([]);
    expect(lead.state.commands).toMatchObject({ fan: false, trouble: false });
    expect(lead.until(32_000 + 3 * MINUTE, { calls: COOLING }).stopped).toBe(false);
    expect(HAZARDS.fieldIoSilent.clears).toBe('itself');
  });

  it('does not stand before the field I/O was asked in vain for long', () => {
    expect(standing(new Lead().at(0, { everHeard: false }))).toEqual([]);
  });
});

describe('fanNotProven', () => {
  it('stops compressors and heat with trouble once airflow has been missing for long, and keeps the fan on', () => {
    const lead = new Lead().cooling().at(31_000, { airflow: false });
    expect(lead.until(41_000 - 1).stopped).toBe(false);
    lead.at(41_000);
    expect(standing(lead)).toEqual(['fanNotProven fan']);
    expect(lead.stopped).toBe(true);
    expect(lead.state.commands).toMatchObject({ fan: true, alarm: false, trouble: true });
    expect(lead.because('compressor.a')[0]).toContain('no airflow was proven within 10 s');
  });

  it('stops heat as well', () => {
    const lead = new Lead().at(0, { calls: { cooling: false, heating: true, fan: false } }).until(30_000);
    expect(lead.state.commands.heat).toBe(true);
    expect(lead.until(41_000, { airflow: false }).state.commands.heat).toBe(false);
  });

  it('is over when airflow is proven, without a hold', () => {
    const lead = new Lead().cooling().until(60_000, { airflow: false }).at(61_000, { airflow: true });
    expect(standing(lead)).toEqual([]);
    expect(lead.phase).toBe('running');
    expect(lead.until(61_000 + 3 * MINUTE).stopped).toBe(false);
    expect(HAZARDS.fanNotProven.clears).toBe('itself');
  });

  it('counts neither with the fan off nor from before the fan was commanded', () => {
    const lead = new Lead().at(0, { airflow: false }).until(60_000);
    expect(standing(lead)).toEqual([]);
    lead.at(61_000, { calls: COOLING });
    expect(standing(lead.until(71_000 - 1))).toEqual([]);
    expect(standing(lead.until(72_000))).toEqual(['fanNotProven fan']);
  });
});

describe('notSelfTested', () => {
  it('stops what runs, and is shown as nothing', () => {
    const lead = new Lead().cooling().at(31_000, sensors('untested'));
    expect(standing(lead)).toEqual(['notSelfTested coil-a']);
    expect(lead.stopped).toBe(true);
    expect(lead.state.commands).toMatchObject({ fan: true, alarm: false, trouble: false });
    expect(lead.because('compressor.a')).toEqual(['coil-a has not yet passed its self-test']);
    expect(lead.at(32_000, { calls: NO_CALL }).state.commands.fan).toBe(false);
  });

  it('is over with the pass, without a hold', () => {
    const lead = new Lead().cooling().at(31_000, sensors('untested')).at(40_000, sensors('well'));
    expect(lead.phase).toBe('running');
    expect(lead.until(31_000 + 3 * MINUTE).stopped).toBe(false);
    expect(HAZARDS.notSelfTested.clears).toBe('itself');
  });
});

describe('compressorAgainstCommand', () => {
  const welded = () => new Lead().at(0).at(1000, { welded: [1] });

  it('keeps the fan on with trouble once feedback has disagreed for long', () => {
    const lead = welded();
    expect(standing(lead.until(1000 + FEEDBACK - 1))).toEqual([]);
    lead.at(1000 + FEEDBACK);
    expect(standing(lead)).toEqual(['compressorAgainstCommand compressor.b']);
    expect(lead.state.commands).toMatchObject({ fan: true, alarm: false, trouble: true });
    expect(lead.because('fan')[0]).toBe('compressor.b runs against its command');
  });

  it('stops nothing that is served', () => {
    const lead = welded().until(10_000).until(12_000, { calls: COOLING });
    expect(lead.state.commands.compressors[0]).toBe(true);
  });

  it('is over when feedback agrees', () => {
    const lead = welded().until(10_000).at(11_000, { welded: [] });
    expect(standing(lead)).toEqual([]);
    expect(lead.state.commands).toMatchObject({ fan: false, trouble: false });
    expect(HAZARDS.compressorAgainstCommand.clears).toBe('itself');
  });
});

describe('commandsOverwritten', () => {
  it('stops and ventilates: two who command one rig would switch its compressors by turns', () => {
    const lead = new Lead().cooling().at(31_000, { overwritten: true });
    expect(standing(lead)).toEqual(['commandsOverwritten fieldIo']);
    expect(lead.state.commands).toMatchObject({ alarm: false, trouble: true });
    expect(lead.mitigates).toBe(true);
    expect(lead.because('trouble')[0]).toContain('something else writes to this field I/O');
    expect(standing(lead.at(32_000, { overwritten: false }))).toEqual([]);
    expect(lead.stopped).toBe(true);
    // A compressor that it stopped waits out its time, so that the two cannot make it flap.
    expect(lead.until(31_000 + 3 * MINUTE - 1000).stopped).toBe(true);
    expect(lead.until(31_000 + 3 * MINUTE + 1000).stopped).toBe(false);
    expect(HAZARDS.commandsOverwritten.clears).toBe('itself');
  });
});

describe('commandsNotTaken', () => {
  it('is told once it has lasted, and stops nothing that nothing else stops', () => {
    const lead = new Lead().cooling().at(31_000, { untakenSinceMs: ms(31_000) });
    expect(standing(lead.until(31_000 + FEEDBACK - 1))).toEqual([]);
    lead.at(31_000 + FEEDBACK);
    expect(standing(lead)).toEqual(['commandsNotTaken fieldIo']);
    expect(lead.state.commands).toMatchObject({ fan: true, alarm: false, trouble: true });
    expect(lead.stopped).toBe(false);
    expect(lead.because('trouble')).toEqual([
      'the field I/O answers, but has not taken all commands since 0:00:31',
    ]);
    expect(standing(lead.at(40_000, { untakenSinceMs: null }))).toEqual([]);
    expect(over(lead)).toEqual(['commands not taken']);
    expect(HAZARDS.commandsNotTaken.clears).toBe('itself');
  });

  it('says nothing of a field I/O that does not answer at all', () => {
    const silentSinceMs = ms(31_000);
    const lead = new Lead().cooling().until(40_000, { untakenSinceMs: silentSinceMs, silentSinceMs });
    expect(standing(lead)).toEqual(['fieldIoSilent fieldIo']);
  });
});

describe('airflowWithoutFan', () => {
  it('is told once it has lasted, and changes nothing else', () => {
    const lead = new Lead().at(0).at(1000, { airflow: true });
    expect(standing(lead.until(1000 + FEEDBACK - 1))).toEqual([]);
    lead.at(1000 + FEEDBACK);
    expect(standing(lead)).toEqual(['airflowWithoutFan fan']);
    expect(lead.state.commands).toMatchObject({ fan: false, damper: false, alarm: false, trouble: true });
    expect(lead.because('trouble')).toEqual(['there is airflow without a fan command']);
    expect(lead.because('heat')).toEqual(['no call stands']);
    expect(standing(lead.at(7000, { airflow: false }))).toEqual([]);
    expect(HAZARDS.airflowWithoutFan.clears).toBe('itself');
    const serving = new Lead().until(20_000, { airflow: true }).until(22_000, { calls: COOLING });
    expect(serving.stopped).toBe(false);
  });
});

describe('the table', () => {
  it('asks for what its row says, and together for whatever any row asks for', () => {
    const hazards = Object.keys(HAZARDS) as Hazard[];
    const standingAt = (...all: Hazard[]) => all.map((hazard) => ({ hazard, subject: 'one' }));
    for (const one of hazards) {
      const { effect, shows } = HAZARDS[one];
      const alone = { ...EFFECTS[effect], alarm: shows === 'alarm', trouble: shows === 'trouble' };
      expect(effectsOf(standingAt(one))).toEqual(alone);
      for (const other of hazards) {
        const [a, b] = [alone, effectsOf(standingAt(other))];
        const both = Object.keys(a).map((key) => [key, a[key as keyof Effects] || b[key as keyof Effects]]);
        expect(effectsOf(standingAt(one, other))).toEqual(Object.fromEntries(both));
      }
    }
    expect(Object.values(effectsOf([]))).toEqual([false, false, false, false, false]);
  });

  it('adds effects up: a weaker hazard is not lost behind a stronger one', () => {
    const lead = new Lead().at(0, sensors('untested')).until(10_000, { welded: [0] });
    expect(standing(lead)).toEqual(['notSelfTested coil-a', 'compressorAgainstCommand compressor.a']);
    expect(lead.state.commands.fan).toBe(true);
  });

  it('names all hazards at once, the strongest first', () => {
    const lead = new Lead().at(0, { sensors: { 'coil-a': 'stranger', 'coil-b': 'gas' }, overwritten: true });
    expect(standing(lead)).toEqual(['gas coil-b', 'stranger coil-a', 'commandsOverwritten fieldIo']);
    expect(lead.state.commands).toMatchObject({ alarm: true, trouble: true });
  });
});
