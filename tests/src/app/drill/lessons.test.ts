/** What the lessons of parts say of the bench is what the bench does, under the built-in supervisor. */
import { describe, expect, test } from 'vitest';
import { caseOf, lamps, numbersIn, SELF_TESTS } from '../../../helpers/lessons.ts';
import { Played } from '../../../helpers/played.ts';

describe('case 1, what is normal', () => {
  const id = 'case-01-what-is-normal';
  const run = new Played(caseOf(id).drill, { lookAtS: [2, 6, 300] });

  test('shows white lamps in the self-test, and green ones after it', () => {
    expect([2, 6, 300].map((atS) => lamps(run.at(atS)))).toEqual([
      ['white', 'white'],
      ['green', 'green'],
      ['green', 'green'],
    ]);
    expect(numbersIn(id, /test themselves, for (\d+) s/u)).toEqual([4]);
    expect(run.states()).toEqual(['4 running']);
  });

  test('serves the call in the order that it tells, with nothing wrong', () => {
    expect(run.changes('fan')).toEqual(['+61']);
    expect(run.changes('airflow')).toEqual(['+65']);
    expect(run.changes('compressor.a')).toEqual(['+65']);
    expect(run.changes('compressor.b')).toEqual(['+75']);
    expect(numbersIn(id, /air is proven (\d+) s later.*the second (\d+) s after it/u)).toEqual([4, 10]);
    expect(run.said()).toEqual(SELF_TESTS);
    expect([...run.changes('alarm'), ...run.changes('trouble')]).toEqual([]);
    expect(run.peakGas('coil-a') + run.peakGas('coil-b') + run.peakGas('grille')).toBe(0);
  });
});

describe('case 5, addresses exchanged', () => {
  const id = 'case-05-exchanged';
  const { drill } = caseOf(id);
  const run = new Played(drill, { lookAtS: [120] });

  test('is told by the serials alone, and nothing runs but the fan', () => {
    expect(run.said().toSorted()).toEqual([
      ...SELF_TESTS,
      'the sensor at the address of coil-a has another serial than planned',
      'the sensor at the address of coil-b has another serial than planned',
    ]);
    expect(run.states()).toEqual(['4 mitigating']);
    expect(numbersIn(id, /(\d+) s after power-up/u)).toEqual([4]);
    expect([run.changes('fan'), run.changes('trouble')]).toEqual([['+4'], ['+4']]);
    expect([run.changes('compressor.a'), run.changes('compressor.b'), run.changes('alarm')]).toEqual([
      [],
      [],
      [],
    ]);
    expect(lamps(run.at(120))).toEqual(['green', 'green']);
    expect(run.at(120).calls.cooling).toBe(true);
  });

  test('has the serials and addresses of the labels the other way round', () => {
    const plan = drill.rig.sensors.flatMap((one) => (one.kind === 'modbus' ? [one] : []));
    const [a, b] = plan;
    expect(
      numbersIn(id, /serial (\d+) is set to address (\d+) and serial (\d+) to address (\d+)/u).map(String),
    ).toEqual([a?.serial, String(b?.unitId), b?.serial, String(a?.unitId)]);
  });
});

describe('cases 6 and 10, commanded and no air proven', () => {
  const fan = new Played(caseOf('case-06-commanded-and-no-air').drill, { lookAtS: [100] });
  const airflow = new Played(caseOf('case-10-an-open-switch').drill, { lookAtS: [100] });

  test('say the same to the controller, and it does the same', () => {
    expect(fan.said()).toEqual([
      ...SELF_TESTS,
      'the fan is commanded on and no airflow was proven within 10 s',
    ]);
    expect(airflow.said()).toEqual(fan.said());
    for (const run of [fan, airflow]) {
      expect([run.changes('fan'), run.changes('trouble')]).toEqual([['+21'], ['+31']]);
      expect([
        ...run.changes('compressor.a'),
        ...run.changes('compressor.b'),
        ...run.changes('alarm'),
      ]).toEqual([]);
      expect(run.at(100)).toMatchObject({ airflowProven: false, terminals: { fan: true } });
      expect(lamps(run.at(100))).toEqual(['green', 'green']);
    }
  });

  test('differ in the air that is felt', () => {
    expect([fan.at(100).airflowM3PerH, airflow.at(100).airflowM3PerH]).toEqual([0, 900]);
    expect(numbersIn('case-10-an-open-switch', /(\d+) m3\/h are felt/u)).toEqual([900]);
  });
});

describe('case 8, the wire of the grille contact', () => {
  const run = new Played(caseOf('case-08-a-broken-wire').drill, { lookAtS: [60, 200] });

  test('reads as gas without any gas, and ends the service that ran', () => {
    expect(run.said()).toEqual([...SELF_TESTS, 'grille reports gas (no reading; the setpoint is 20 %LFL)']);
    expect(run.states()).toEqual(['4 running', '91 mitigating']);
    expect(run.changes('alarm')).toEqual(['+91']);
    expect(run.changes('compressor.a')).toEqual(['+25', '-91']);
    expect(run.changes('compressor.b')).toEqual(['+35', '-91']);
    expect(run.peakGas('grille') + run.peakGas('coil-a') + run.peakGas('coil-b')).toBe(0);
    expect(lamps(run.at(200))).toEqual(['green', 'green']);
    expect(run.at(200)).toMatchObject({ airflowProven: true, sensors: { grille: { powered: true } } });
  });
});

describe('case 11, a sensor without supply', () => {
  const { drill } = caseOf('case-11-no-supply');
  const run = new Played(drill, { lookAtS: [200] });

  test('is one more silent sensor to the controller, and dark to whoever looks', () => {
    expect(run.said()).toEqual([...SELF_TESTS, 'coil-b has given no sound answer since 0:01:31']);
    expect(run.states()).toEqual(['4 running', '96 mitigating']);
    expect([run.changes('trouble'), run.changes('alarm')]).toEqual([['+96'], []]);
    expect(run.changes('compressor.a')).toEqual(['+25', '-96']);
    expect(lamps(run.at(200))).toEqual(['green', 'off']);
    expect(run.at(200).sensors['coil-b']?.powered).toBe(false);
    expect(run.at(200).airflowProven).toBe(true);
  });

  test('serves the call again after the hold, once the supply is back', () => {
    const back = new Played(drill, {
      also: [[200, { mend: { in: 'coil-b' } }]],
      untilS: 560,
      lookAtS: [202],
    });
    expect(lamps(back.at(202))).toEqual(['green', 'white']);
    const states = back.states().slice(2);
    expect(states).toEqual(['204 holding', '504 running']);
    expect(back.changes('compressor.a').at(-1)).toBe('+504');
  });
});

describe('case 12, a welded contactor', () => {
  const run = new Played(caseOf('case-12-a-welded-contactor').drill, { lookAtS: [170, 240] });

  test('runs on with no voltage at its terminal; the controller says so and blows', () => {
    expect(run.said()).toEqual([...SELF_TESTS, 'compressor.a runs against its command']);
    expect(run.changes('compressor.a')).toEqual(['+25', '-181']);
    expect(run.changes('fan')).toEqual(['+21', '-181', '+186']);
    expect(run.changes('trouble')).toEqual(['+186']);
    expect(Number(run.changes('trouble')[0]) - 181).toBe(
      numbersIn('case-12-a-welded-contactor', /(\d+) s after the command the controller knows/u)[0],
    );
    expect(run.at(240)).toMatchObject({
      compressorRunning: { a: true, b: false },
      terminals: { 'compressor.a': false, 'compressor.b': false },
      airflowProven: true,
      calls: { cooling: false },
    });
    expect(run.changes('alarm')).toEqual([]);
    expect(lamps(run.at(240))).toEqual(['green', 'green']);
  });

  test('cannot be seen before the call ends', () => {
    expect(run.at(170)).toMatchObject({ compressorRunning: { a: true, b: true } });
    expect(run.changes('trouble').filter((change) => Number(change) < 180)).toEqual([]);
  });
});
