/** What the lessons of gas say of the bench is what the bench does, under the built-in supervisor. */
import { describe, expect, test } from 'vitest';
import { caseOf, lamps, numbersIn, SELF_TESTS } from '../../../helpers/lessons.ts';
import { Played } from '../../../helpers/played.ts';

describe('case 2, a leak with the fan running', () => {
  const id = 'case-02-gas-under-a-running-fan';
  const { drill } = caseOf(id);
  const run = new Played(drill, { lookAtS: [170, 300] });

  test('stays below the setpoint: no trip, no message, and the compressors run on', () => {
    const peak = run.peakReading('coil-a');
    expect(Math.round(peak)).toBe(11);
    expect(peak).toBeLessThan(drill.rig.policy.setpoint);
    expect(run.peakReading('coil-b')).toBe(peak);
    expect(numbersIn(id, /up to (\d+) %LFL in/u)).toEqual([11]);
    expect(run.states()).toEqual(['4 running']);
    expect(run.said()).toEqual(SELF_TESTS);
    expect([...run.changes('alarm'), ...run.changes('trouble')]).toEqual([]);
    expect([run.changes('compressor.a'), run.changes('compressor.b')]).toEqual([['+4'], ['+14']]);
    expect(lamps(run.at(170))).toEqual(['green', 'green']);
  });

  test('leaves less in the room while it leaks, and as much everywhere after it', () => {
    const during = run.at(170);
    expect(during.room).toBeLessThan(during.cabinet / 2);
    const after = run.at(300);
    const [left = Number.NaN] = numbersIn(id, /about ([\d.]+) %LFL everywhere/u);
    expect(Math.abs(after.room - left)).toBeLessThan(0.2);
    expect(Math.abs(after.cabinet - left)).toBeLessThan(0.2);
  });

  test('adds to the air that passes what the notes reckon', () => {
    const { fan, refrigerant } = drill.rig;
    const perM3 = 6 / fan.airflowM3PerS;
    expect(numbersIn(id, /that are (\d+) g\/m3, or ([\d.]+) %LFL at an LFL of ([\d.]+)/u)).toEqual([
      Math.round(perM3),
      Number((perM3 / 10 / refrigerant.lflKgPerM3).toFixed(1)),
      refrigerant.lflKgPerM3,
    ]);
  });

  test('trips with the fan off, when the notes say', () => {
    const off = new Played(drill, { calls: { cooling: false, heating: false, fan: false } });
    const [afterS] = numbersIn(id, /a trip after (\d+) s/u);
    expect(off.changes('alarm')[0]).toBe(`+${60 + (afterS ?? Number.NaN)}`);
  });
});

describe('case 3, a leak that trips, holds and lets go', () => {
  const id = 'case-03-trip-hold-and-release';
  const run = new Played(caseOf(id).drill, { lookAtS: [30, 327, 655, 690] });
  const beganS = 15;

  test('trips twice, and is in mitigation from the first report to the end of the hold', () => {
    const states = run.states();
    expect(states).toEqual([
      '4 running',
      '27 mitigating',
      '44 holding',
      '165 mitigating',
      '356 holding',
      '656 running',
    ]);
    expect(numbersIn(id, /(\d+) s after the leak begins a sensor reports/u)).toEqual([27 - beganS]);
    expect(numbersIn(id, /(\d+) s into the leak the cabinet is below/u)).toEqual([44 - beganS]);
    expect(numbersIn(id, /trip again (\d+) s into the leak/u)).toEqual([165 - beganS]);
    expect(run.changes('alarm')).toEqual(['+27', '-46', '+165', '-361']);
    expect(run.changes('fan')).toEqual(['+27']);
    expect(lamps(run.at(30))).toEqual(['red', 'red']);
  });

  test('still has gas 5 min after the first report, and runs nothing then', () => {
    const look = run.at(327);
    expect(look.cabinet).toBeGreaterThan(25);
    expect(look.compressorRunning).toEqual({ a: false, b: false });
    expect(look.calls.cooling).toBe(true);
  });

  test('starts 5 min after the last gas, at the level that the notes say', () => {
    expect(run.changes('compressor.a')).toEqual(['+656']);
    expect(run.changes('compressor.b')).toEqual(['+666']);
    expect(Math.round(run.at(655).cabinet)).toBe(14);
    expect(numbersIn(id, /at about (\d+) %LFL/u)).toEqual([14]);
    const { chargeLeftKg } = run.at(690);
    expect(numbersIn(id, /with ([\d.]+) kg of ([\d.]+) kg gone/u)).toEqual([
      Number((4.2 - chargeLeftKg).toFixed(1)),
      4.2,
    ]);
  });

  test('never reaches the setpoint at the grille', () => {
    expect(run.peakGas('grille')).toBeLessThan(20);
  });
});

describe('case 4, one of two sensors silent during a leak', () => {
  const id = 'case-04-one-silent-in-a-leak';
  const { drill } = caseOf(id);
  const run = new Played(drill, { lookAtS: [120, 530] });

  test('mitigates for the silence, and never leaves it', () => {
    expect(run.states()).toEqual(['4 running', '51 mitigating']);
    expect(run.said()).toEqual([...SELF_TESTS, 'coil-b has given no sound answer since 0:00:46']);
    expect(run.changes('trouble')).toEqual(['+51']);
    expect(run.changes('fan')).toEqual(['+21']);
    expect(run.changes('compressor.a').at(-1)).toBe('-51');
    expect(run.changes('compressor.b').at(-1)).toBe('-51');
  });

  test('has gas behind it that nothing but a portable reader tells', () => {
    expect(run.changes('alarm')).toEqual([]);
    const look = run.at(530);
    expect(numbersIn(id, /up to (\d+) %LFL in the cabinet/u)).toEqual([Math.round(look.cabinet)]);
    expect(run.peakReading('coil-a')).toBeLessThan(20);
    expect(look.room).toBeLessThan(look.cabinet);
    expect(lamps(look)).toEqual(['green', 'green']);
    expect(Object.values(look.sensors).map(({ powered }) => powered)).toEqual([true, true, true]);
  });

  test('would start the compressors on the leaking circuit, were the sensor mended alone', () => {
    const mended = new Played(drill, { also: [[120, { mend: { in: 'coil-b' } }]], lookAtS: [470] });
    expect(mended.changes('compressor.a').at(-1)).toMatch(/^\+4[23]\d$/u);
    expect(mended.at(470)).toMatchObject({ releaseGPerS: 4, compressorRunning: { a: true, b: true } });
  });
});

describe('case 7, a sensor at the end of its life', () => {
  const id = 'case-07-end-of-life';
  const { drill } = caseOf(id);
  const run = new Played(drill, { lookAtS: [100, 215] });

  test('shows it by the lamp alone; everything runs', () => {
    expect(lamps(run.at(100))).toEqual(['blue', 'green']);
    expect(run.said()).toEqual(SELF_TESTS);
    expect(run.changes('compressor.a')).toEqual(['+25']);
    expect([...run.changes('alarm'), ...run.changes('trouble')]).toEqual([]);
  });

  test('reads what the notes say of the test gas, and does not trip', () => {
    const said = numbersIn(id, /test gas of (\d+) %LFL at coil-a .* coil-a reads ([\d.]+) %LFL/u);
    expect(said).toEqual([run.at(215).sensors['coil-a']?.testGas, run.peakReading('coil-a')]);
    expect(run.states()).toEqual(['4 running']);
  });

  test('reports the setpoint above the published limit, as the notes reckon', () => {
    const [atSetpoint = 0, limit = 0] = numbersIn(
      id,
      /reached at ([\d.]+) %LFL of true gas, above the (\d+) %LFL/u,
    );
    expect(atSetpoint).toBeCloseTo(drill.rig.policy.setpoint / 0.6, 1);
    expect(atSetpoint).toBeGreaterThan(limit);
    expect(limit).toBe(25);
    const level = (percent: number): Played =>
      new Played(drill, {
        also: [[230, { testGas: { at: 'coil-a', level: `${percent} %LFL`, lasts: '60 s' } }]],
      });
    expect(level(33.2).changes('alarm')).toEqual([]);
    expect(level(33.6).changes('alarm')[0]).toMatch(/^\+2\d\d$/u);
  });

  test('leaves the neighbour sound: the same test gas trips there', () => {
    const also = [[230, { testGas: { at: 'coil-b', level: '30 %LFL', lasts: '40 s' } }]] as const;
    const tripped = new Played(drill, { also });
    expect(tripped.states()).toEqual([
      '4 running',
      expect.stringMatching(/^2\d\d mitigating$/u),
      expect.stringMatching(/ holding$/u),
    ]);
  });
});

describe('case 9, another gas', () => {
  const id = 'case-09-another-vapour';
  const run = new Played(caseOf(id).drill, { lookAtS: [170] });

  test('is taken for refrigerant that is not there', () => {
    expect(lamps(run.at(170))).toEqual(['red', 'red']);
    expect(run.peakGas('coil-a') + run.peakGas('coil-b') + run.peakGas('grille')).toBe(0);
    expect(numbersIn(id, /coil-a reads up to (\d+) %LFL, coil-b up to (\d+) %LFL/u)).toEqual([
      Math.round(run.peakReading('coil-a')),
      Math.round(run.peakReading('coil-b')),
    ]);
  });

  test('ends by itself: the hold passes and the call is served', () => {
    expect(run.states()).toEqual(['4 running', '95 mitigating', '182 holding', '482 running']);
    expect(run.changes('alarm')).toEqual(['+95', '-183']);
    expect(run.changes('compressor.a')).toEqual(['+25', '-95', '+482']);
  });
});
