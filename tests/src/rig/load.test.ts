import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { packageRoot } from '../../../src/files/index.ts';
import { loadRig, type Rig } from '../../../src/rig/index.ts';
import { DEMO_FILE } from '../../helpers/demo.ts';
import { load, rigOf, SMALLEST, sensorWith } from './rig-text.ts';

/** Without its codec, which tests/src/sensor checks. */
const YEAR_MS = 365.25 * 86_400_000;
/** What a sensor has that knows neither dead time nor noise nor age. */
const STEADY = { deadTimeMs: 0, noisePercentLfl: 0, driftPerYear: null, ageMs: null };
/** By default: the shortest published interval, and 15 years. */
const SERVICE = { part: null, lifeMs: 15 * YEAR_MS, checkEveryMs: YEAR_MS, checked: null };

function sensorsOf(rig: Rig): readonly unknown[] {
  return rig.sensors.map((sensor) => {
    if (sensor.kind === 'contact') return sensor;
    const { codec, ...rest } = sensor;
    return { ...rest, profile: codec.profile.name };
  });
}

function loaded(file: string): { readonly rig: Rig; readonly warnings: readonly string[] } {
  const read = loadRig(file);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return { rig: read.value, warnings: read.warnings.map(({ message }) => message) };
}

describe('the demo rig, the archive room of Tide Street Library', () => {
  const { rig, warnings } = loaded(DEMO_FILE);

  test('keeps to every published limit and choice: it has no warnings', () => {
    expect(warnings).toEqual([]);
  });

  test('is a room of 60 m3 with a cabinet of 1.2 m3 and a fan of 900 m3/h', () => {
    expect(rig).toMatchObject({
      name: 'Tide Street Library, archive room',
      file: DEMO_FILE,
      refrigerant: { name: 'R-32', lflKgPerM3: 0.307 },
      chargeKg: 4.2,
      room: { floorM2: 24, heightM: 2.5 },
      cabinet: { volumeM3: 1.2 },
      fan: { spinUpMs: 4000 },
      circuits: ['a', 'b'],
      heat: true,
    });
    expect(rig.room.airChangesPerS * 3600).toBeCloseTo(2, 12);
    expect(rig.cabinet.leakageM3PerS * 3600).toBeCloseTo(30, 12);
    expect(rig.fan.airflowM3PerS * 3600).toBeCloseTo(900, 12);
  });

  test('has one line, on loopback, asked once a second', () => {
    expect(rig.lines).toEqual([
      {
        id: 'main',
        listen: [{ kind: 'tcp', host: '127.0.0.1', port: 1502 }],
        allow: [],
        pollEveryMs: 1000,
        timeoutMs: 300,
        retries: 2,
        pace: null,
      },
    ]);
    expect(rig.fieldIo).toEqual({ line: 'main', unitId: 200, watchdogMs: 5000 });
  });

  test('has two Modbus sensors in the cabinet and a contact at the grille', () => {
    const coil = {
      kind: 'modbus',
      at: 'cabinet',
      line: 'main',
      profile: 'reference',
      responseT90Ms: 10_000,
      outOfBox: false,
      service: SERVICE,
      ...STEADY,
    };
    expect(sensorsOf(rig)).toEqual([
      { ...coil, id: 'coil-a', unitId: 11, serial: '240811', selfTestMs: 4000, installed: '2025-03-01' },
      { ...coil, id: 'coil-b', unitId: 12, serial: '240812', selfTestMs: 4000, installed: '2025-03-01' },
      {
        kind: 'contact',
        id: 'grille',
        at: 'room-low',
        input: 8,
        contact: 'opens-on-gas',
        responseT90Ms: 10_000,
        deadTimeMs: 0,
        serial: null,
        installed: null,
        service: SERVICE,
      },
    ]);
  });

  test('asks of a controller what its policy says', () => {
    expect(rig.policy).toEqual({
      setpoint: 20,
      clearBelow: 18,
      holdMs: 300_000,
      silentAfterMs: 5000,
      askWithinMs: 10_000,
      respondWithinMs: 15_000,
      fanProofWithinMs: 10_000,
      compressorMinOffMs: 180_000,
      resumeWithinMs: 300_000,
      latchAfter: null,
    });
  });
});

describe('a rig that says only what it must', () => {
  const rig = rigOf(SMALLEST);

  test('goes by the name of its file', () => {
    expect(rig.name).toBe('test');
  });

  test('gets every other value by default', () => {
    const { name, file, refrigerant, sensors } = rig;
    expect(rig).toEqual({
      name,
      file,
      refrigerant,
      sensors,
      chargeKg: 4.2,
      room: { floorM2: 24, heightM: 2.5, airChangesPerS: 0 },
      cabinet: { volumeM3: 1, leakageM3PerS: 30 / 3600 },
      fan: { airflowM3PerS: 900 / 3600, spinUpMs: 4000 },
      circuits: ['a'],
      heat: true,
      lines: [
        {
          id: 'main',
          listen: [{ kind: 'tcp', host: '127.0.0.1', port: 1502 }],
          allow: [],
          pollEveryMs: 1000,
          timeoutMs: 300,
          retries: 2,
          pace: null,
        },
      ],
      fieldIo: { line: 'main', unitId: 200, watchdogMs: 5000 },
      policy: {
        setpoint: 20,
        clearBelow: 18,
        holdMs: 300_000,
        silentAfterMs: 5000,
        askWithinMs: 10_000,
        respondWithinMs: 15_000,
        fanProofWithinMs: 10_000,
        compressorMinOffMs: 180_000,
        resumeWithinMs: 300_000,
        latchAfter: null,
      },
    });
  });

  test('has sensors that are sound by default', () => {
    expect(sensorsOf(rigOf(`${SMALLEST}  - { id: b, at: room-low, kind: contact, input: 8 }\n`))).toEqual([
      {
        kind: 'modbus',
        id: 'coil-a',
        at: 'cabinet',
        line: 'main',
        unitId: 11,
        profile: 'reference',
        serial: null,
        responseT90Ms: 10_000,
        selfTestMs: 4000,
        installed: null,
        outOfBox: false,
        service: SERVICE,
        ...STEADY,
      },
      {
        kind: 'contact',
        id: 'b',
        at: 'room-low',
        input: 8,
        contact: 'opens-on-gas',
        responseT90Ms: 10_000,
        deadTimeMs: 0,
        serial: null,
        installed: null,
        service: SERVICE,
      },
    ]);
  });

  test('gets the rest of a map by default where it writes a part', () => {
    const { cabinet, policy } = rigOf(`${SMALLEST}cabinet: { volume: 2 m3 }\npolicy: { hold: 6 min }\n`);
    expect(cabinet).toEqual({ volumeM3: 2, leakageM3PerS: 30 / 3600 });
    expect(policy).toMatchObject({ holdMs: 360_000, setpoint: 20 });
  });
});

describe('a rig that says everything', () => {
  const { rig } = loaded(join(packageRoot(), 'tests/src/rig/data/every-key.rig.yaml'));
  // International foot and pound of 1959: 0.3048 m, 0.45359237 kg.
  const FT = 0.3048;

  test('is taken in its own units', () => {
    expect(rig.chargeKg).toBeCloseTo(9.3 * 0.45359237, 12);
    expect(rig.room.floorM2).toBeCloseTo(258 * FT ** 2, 12);
    expect(rig.room.heightM).toBeCloseTo(8 * FT, 12);
    expect(rig.room.airChangesPerS).toBeCloseTo(0.5 / 3600, 15);
    expect(rig.cabinet.volumeM3).toBeCloseTo(40 * FT ** 3, 12);
    expect(rig.cabinet.leakageM3PerS).toBeCloseTo((10 * FT ** 3) / 60, 15);
    expect(rig.fan.airflowM3PerS).toBeCloseTo((530 * FT ** 3) / 60, 15);
    expect(rig).toMatchObject({
      name: 'Two lines, everything said',
      circuits: ['left', 'right'],
      heat: false,
    });
    expect(rig.fan.spinUpMs).toBe(0);
  });

  test('may bring a refrigerant of its own, with its source', () => {
    // 11.25 % of 62.6 g/mol at 24.465 l/mol.
    expect(rig.refrigerant).toMatchObject({ name: 'R-454B', source: 'a training sheet, second hand' });
    expect(rig.refrigerant.molarMassGPerMol).toBeCloseTo(62.6, 12);
    expect(rig.refrigerant.lflKgPerM3).toBeCloseTo((0.1125 * 62.6) / 24.465, 4);
    expect(rig.refrigerant.vapourKgPerM3).toBeCloseTo(62.6 / 24.465, 4);
  });

  test('has its levels in LFL percent of that refrigerant', () => {
    expect(rig.policy.setpoint).toBeCloseTo((100 * 2.5) / 11.25, 10);
    expect(rig.policy.clearBelow).toBeCloseTo((100 * 2) / 11.25, 10);
    expect(rig.policy).toMatchObject({
      holdMs: 360_000,
      silentAfterMs: 6000,
      askWithinMs: 8000,
      respondWithinMs: 12_000,
      fanProofWithinMs: 9000,
      compressorMinOffMs: 0,
      resumeWithinMs: 120_000,
      latchAfter: { trips: 3, withinMs: 86_400_000 },
    });
  });

  test('has several lines, each sensor on its own', () => {
    expect(rig.lines).toEqual([
      {
        id: 'main',
        listen: [
          { kind: 'tcp', host: '0.0.0.0', port: 1502 },
          { kind: 'tcp', host: '::1', port: 1503 },
        ],
        allow: ['10.0.0.5', 'fe80::1'],
        pollEveryMs: 500,
        timeoutMs: 100,
        retries: 0,
        pace: null,
      },
      {
        id: 'annex',
        listen: [{ kind: 'tcp', host: 'localhost', port: 0 }],
        allow: [],
        pollEveryMs: 1000,
        timeoutMs: 300,
        retries: 2,
        pace: null,
      },
    ]);
    expect(rig.fieldIo).toEqual({ line: 'annex', unitId: 247, watchdogMs: 3000 });
    expect(sensorsOf(rig)).toMatchObject([
      { id: 'coil-a', line: 'main', unitId: 1, serial: 'A-1', responseT90Ms: 20_000, selfTestMs: 2000 },
      { id: 'coil-b', line: 'annex', unitId: 1, ageMs: 2191.5 * 86_400_000 },
      { id: 'twin', line: 'annex', unitId: 1 },
      { id: 'grille', input: 23, contact: 'closes-on-gas', responseT90Ms: 60_000, deadTimeMs: 4000 },
    ]);
  });
});

describe('a rig may', () => {
  test('hold two sensors at one address where it says so, to show what comes of it', () => {
    const twins = `${SMALLEST}  - { id: coil-b, at: cabinet, unitId: 11 }\nsharedAddresses: allowed\n`;
    expect(rigOf(twins).sensors).toMatchObject([{ unitId: 11 }, { unitId: 11 }]);
  });

  test('use one address on two lines', () => {
    const text = `${sensorWith('line: main, unitId: 11')}  - { id: b, at: cabinet, line: two, unitId: 11 }
lines: [{ id: main }, { id: two, listen: ["tcp://127.0.0.1:1503"] }]
fieldIo: { line: two }
`;
    expect(rigOf(text).sensors).toMatchObject([{ line: 'main' }, { line: 'two' }]);
  });

  test('have a line at several addresses of every kind', () => {
    const text = `${SMALLEST}lines:
  - id: main
    listen: ["tcp://127.0.0.1:0", "rtu+tcp://127.0.0.1:0", "rtu:///dev/ttyUSB0?baud=9600&parity=none"]
`;
    expect(rigOf(text).lines[0]?.listen).toEqual([
      { kind: 'tcp', host: '127.0.0.1', port: 0 },
      { kind: 'rtu+tcp', host: '127.0.0.1', port: 0 },
      { kind: 'rtu', path: '/dev/ttyUSB0', baud: 9600, parity: 'none', stopBits: 2 },
    ]);
  });

  test('put a line behind a gateway, whose serial side it describes as far as it wants', () => {
    const paceOf = (pace: string) =>
      rigOf(`${SMALLEST}lines: [{ id: main, pace: ${pace} }]\n`).lines[0]?.pace;
    expect(paceOf('{}')).toEqual({ baud: 19_200, parity: 'even', stopBits: 1, timeoutMs: 200 });
    expect(paceOf('{ baud: 9600, parity: none, timeout: 0.1 s }')).toEqual({
      baud: 9600,
      parity: 'none',
      stopBits: 2,
      timeoutMs: 100,
    });
  });

  test('let the system choose every port', () => {
    const text = `${sensorWith('line: main, unitId: 11')}fieldIo: { line: main }
lines: [{ id: main, listen: ["tcp://127.0.0.1:0"] }, { id: two, listen: ["tcp://127.0.0.1:0"] }]
`;
    expect(rigOf(text).lines.map(({ listen }) => listen)).toMatchObject([[{ port: 0 }], [{ port: 0 }]]);
  });

  test('write a switch in any of its words', () => {
    for (const [word, on] of [
      ['on', true],
      ['no', false],
      ['true', true],
      ['off', false],
    ] as const)
      expect(rigOf(`${SMALLEST}heat: ${word}\n`).heat, word).toBe(on);
    expect(rigOf(`${SMALLEST}policy: { latchAfter: no }\n`).policy.latchAfter).toBeNull();
  });

  test('write its setpoint as 25 %LFL in another unit, and is not warned of a rounding error', () => {
    const { rig, warnings } = load(`${SMALLEST}policy: { setpoint: 0.07675 kg/m3 }\n`);
    expect(rig?.policy.setpoint).toBeCloseTo(25, 12);
    expect(warnings).toEqual([]);
  });

  test('name a profile by its path, seen from the rig', () => {
    const profile = rigOf(SMALLEST).sensors[0];
    if (profile?.kind !== 'modbus') throw new Error('the smallest rig has a Modbus sensor');
    const { rig } = load(sensorWith('unitId: 11, profile: ./mine.profile.yaml'), {
      'mine.profile.yaml': JSON.stringify({
        ...profile.codec.profile,
        name: 'mine',
        commands: {
          ...profile.codec.profile.commands,
          writeKey: { ...profile.codec.profile.commands?.writeKey, opensFor: '60 s' },
        },
      }),
    });
    expect(rig?.sensors[0]).toMatchObject({ codec: { profile: { name: 'mine' } } });
  });
});
