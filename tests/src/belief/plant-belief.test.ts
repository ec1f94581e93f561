import { describe, expect, it } from 'vitest';
import {
  contactFindings,
  foldInputs,
  isPlantSilent,
  PLANT_UNHEARD,
  type PlantBelief,
  type PlantInputs,
} from '../../../src/belief/index.ts';
import { ms } from '../../../src/units/index.ts';

const LIMITS = { silentAfterMs: ms(5000), unheardAfterMs: ms(11_000) };
const INPUTS: PlantInputs = {
  calls: { cooling: false, heating: false, fan: false },
  airflow: false,
  serviceReset: false,
  fire: false,
  contactClosed: { 8: true },
  compressorRunning: [],
};
const OPENS = { input: 8, contact: 'opens-on-gas' } as const;
const CLOSES = { input: 8, contact: 'closes-on-gas' } as const;

function heard(inputs: Partial<PlantInputs>, before: PlantBelief = PLANT_UNHEARD, atMs = 0): PlantBelief {
  const answer = { ...INPUTS, ...inputs };
  return foldInputs(before, {
    askedAtMs: ms(atMs),
    doneAtMs: ms(atMs + 20),
    outcome: { kind: 'answered', answer },
  });
}

function missed(before: PlantBelief, atMs: number): PlantBelief {
  return foldInputs(before, { askedAtMs: ms(atMs), doneAtMs: ms(atMs + 300), outcome: { kind: 'silent' } });
}

describe('the field I/O', () => {
  it('keeps its inputs as last heard, with the moment of the question', () => {
    expect(heard({ fire: true }).last).toEqual({ atMs: 0, inputs: { ...INPUTS, fire: true } });
  });

  it('remembers when it last said airflow', () => {
    const blowing = heard({ airflow: true }, PLANT_UNHEARD, 1000);
    expect(PLANT_UNHEARD.airflowProvenAtMs).toBeNull();
    expect(heard({ airflow: false }).airflowProvenAtMs).toBeNull();
    expect(blowing.airflowProvenAtMs).toBe(1000);
    expect(missed(blowing, 2000).airflowProvenAtMs).toBe(1000);
    expect(heard({ airflow: false }, blowing, 3000).airflowProvenAtMs).toBe(1000);
    expect(heard({ airflow: true }, blowing, 4000).airflowProvenAtMs).toBe(4000);
  });

  it('is silent once it was asked in vain for so long, counted from the first request', () => {
    const belief = missed(missed(heard({}), 1000), 2000);
    expect(isPlantSilent(belief, LIMITS, ms(5999))).toBe(false);
    expect(isPlantSilent(belief, LIMITS, ms(6000))).toBe(true);
  });

  it('is heard again with its next answer', () => {
    const belief = heard({}, missed(heard({}), 1000), 9000);
    expect(isPlantSilent(belief, LIMITS, ms(19_999))).toBe(false);
  });

  it('is silent where nobody has asked for long, not where nobody has asked yet', () => {
    const belief = heard({}, PLANT_UNHEARD, 500);
    expect(isPlantSilent(belief, LIMITS, ms(11_499))).toBe(false);
    expect(isPlantSilent(belief, LIMITS, ms(11_500))).toBe(true);
    expect(isPlantSilent(PLANT_UNHEARD, LIMITS, ms(60_000))).toBe(false);
  });
});

describe('a contact', () => {
  const findings = (belief: PlantBelief, contact: typeof OPENS | typeof CLOSES, now: number) =>
    contactFindings(belief, contact, LIMITS, ms(now));

  it('says gas as it is wired to', () => {
    const closed = heard({ contactClosed: { 8: true } });
    const open = heard({ contactClosed: { 8: false } });
    expect(findings(closed, OPENS, 100)).toEqual([]);
    expect(findings(open, OPENS, 100)).toEqual(['gas']);
    expect(findings(closed, CLOSES, 100)).toEqual(['gas']);
    expect(findings(open, CLOSES, 100)).toEqual([]);
  });

  it('that opens on gas says gas where its input does not exist', () => {
    expect(findings(heard({ contactClosed: {} }), OPENS, 100)).toEqual(['gas']);
  });

  it('is silent with the field I/O it hangs on, and keeps its gas', () => {
    expect(findings(missed(heard({}), 1000), OPENS, 5999)).toEqual([]);
    expect(findings(missed(heard({}), 1000), OPENS, 6000)).toEqual(['silent']);
    expect(findings(missed(heard({ contactClosed: {} }), 1000), OPENS, 6000)).toEqual(['gas', 'silent']);
  });

  it('that was never heard is silent once its field I/O is', () => {
    expect(findings(PLANT_UNHEARD, OPENS, 6000)).toEqual([]);
    expect(findings(missed(PLANT_UNHEARD, 1000), OPENS, 5999)).toEqual([]);
    expect(findings(missed(PLANT_UNHEARD, 1000), OPENS, 6000)).toEqual(['silent']);
  });
});
