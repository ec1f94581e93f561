/**
 * A survey of a bench that was set up otherwise than planned: each mistake is found under its own name, and a
 * right rig gives nothing. The bench answers as it does live; nothing is written to it.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Framing } from '../../../src/modbus/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import {
  allUnits,
  compare,
  type Finding,
  inWords,
  knownCodecs,
  lookAt,
  spotsOf,
} from '../../../src/survey/index.ts';
import { Bench } from './on-world.ts';
import { RIGHT, rigOf, SHIPPED, variantOfReference } from './rigs.ts';

const FRAMINGS = ['mbap', 'rtu'] as const;

function surveyed(plan: Rig, bench: Bench): readonly Finding[] {
  const known = knownCodecs(plan, SHIPPED);
  const sight = plan.lines.flatMap(({ id }) =>
    spotsOf(plan, id, allUnits()).map((spot) => bench.perform(id, lookAt(spot, known))),
  );
  expect(bench.writes).toEqual([]);
  return compare(plan, sight);
}

/** What a survey by the plan `RIGHT` finds on a bench with this other rig. */
function found(real: string, steps: readonly unknown[] = [], framing: Framing['kind'] = 'mbap') {
  const bench = new Bench(rigOf(real), framing);
  for (const step of steps) bench.step(step);
  return surveyed(rigOf(RIGHT), bench).map((finding) => inWords(finding));
}

function swap(text: string, ...pairs: readonly (readonly [string, string])[]): string {
  return pairs.reduce((done, [from, to]) => {
    if (!done.includes(from)) throw new Error(`no ${from}`);
    return done.replace(from, to);
  }, text);
}

describe.each(FRAMINGS)('in %s frames', (framing) => {
  test('says nothing of a right rig', () => {
    expect(found(RIGHT, [], framing)).toEqual([]);
  });

  test('says nothing of a right rig whose sensors report gas, have failed, or warm up', () => {
    const steps = [
      { testGas: { at: 'coil-a', level: '90 %LFL' } },
      { fault: { in: 'coil-b', kind: 'self-failed' } },
      { fault: { in: 'low', kind: 'stuck-warm-up' } },
    ];
    expect(found(RIGHT, steps, framing)).toEqual([]);
  });

  test('finds that one is missing', () => {
    const [only, ...more] = found(RIGHT, [{ power: { to: 'coil-b', cut: 'stays' } }], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({
      kind: 'missing',
      sensor: 'coil-b',
      unitId: 12,
      text: 'coil-b is planned at unit 12 of line main, and nobody answers there',
    });
  });

  test('finds that the field I/O is missing', () => {
    const [only, ...more] = found(RIGHT, [{ fault: { in: 'fieldIo', kind: 'io-silent' } }], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'missing', sensor: 'the field I/O', unitId: 200 });
  });

  test('finds somebody whom nobody planned, and says who it is', () => {
    const [only, ...more] = found(
      `${RIGHT}  - { id: x, at: cabinet, unitId: 77, serial: "55" }\n`,
      [],
      framing,
    );
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'unexpected', sensor: null, unitId: 77, planned: 'nobody' });
    expect(only?.text).toBe(
      'at unit 77 of line main answers “virtual refrigerant sensor of leakbench reference”, ' +
        'profile reference, serial 55; nobody is planned there',
    );
  });

  test('finds two at one planned address, and does not call their other one missing twice', () => {
    const real = `${swap(RIGHT, ['unitId: 12', 'unitId: 11'])}sharedAddresses: allowed\n`;
    expect(found(real, [], framing).map(({ kind, sensor }) => [kind, sensor])).toEqual([
      ['twoAtOne', 'coil-a'],
      ['missing', 'coil-b'],
    ]);
  });

  test('finds two at an address that nobody planned', () => {
    const real = `${RIGHT}  - { id: x, at: cabinet, unitId: 90 }\n  - { id: y, at: cabinet, unitId: 90 }\nsharedAddresses: allowed\n`;
    const [only, ...more] = found(real, [], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'twoAtOne', sensor: null, unitId: 90 });
  });

  test('finds two whose serials are exchanged, as one finding', () => {
    const [only, ...more] = found(
      RIGHT,
      [{ fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b' } }],
      framing,
    );
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'exchanged', sensor: 'coil-a', seen: '240812', planned: '240811' });
    expect(only?.text).toContain('coil-b (unit 12 of line main, serial 240812)');
  });

  test('finds another serial than planned', () => {
    const [only, ...more] = found(swap(RIGHT, ['"240812"', '"999"']), [], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'otherSerial', sensor: 'coil-b', seen: '999', planned: '240812' });
  });

  test('finds one that is still at its factory address', () => {
    const [only, ...more] = found(swap(RIGHT, ['unitId: 12', 'unitId: 1']), [], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'atFactory', sensor: 'coil-b', unitId: 12, seen: 'unit 1' });
  });

  test('finds one at another address', () => {
    const [only, ...more] = found(swap(RIGHT, ['unitId: 12', 'unitId: 21']), [], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'elsewhere', sensor: 'coil-b', seen: 'unit 21 of line main' });
  });

  test('finds another refrigerant and another setpoint at each sensor that tells', () => {
    const real = swap(
      RIGHT,
      ['R-32', 'R-454B'],
      ['charge:', 'policy: { setpoint: 10 %LFL, clearBelow: 8 %LFL }\ncharge:'],
    );
    expect(
      found(real, [], framing).map(({ kind, sensor, seen, planned }) => [kind, sensor, seen, planned]),
    ).toEqual([
      ['otherRefrigerant', 'coil-a', 'R-454B', 'R-32'],
      ['otherSetpoint', 'coil-a', '10 %LFL', '20 %LFL'],
      ['otherRefrigerant', 'coil-b', 'R-454B', 'R-32'],
      ['otherSetpoint', 'coil-b', '10 %LFL', '20 %LFL'],
      ['otherSetpoint', 'low', '10 %LFL', '20 %LFL'],
    ]);
  });

  test('finds that the points stand in the other table', () => {
    const real = withProfile('in-holding.profile.yaml', (text) =>
      text
        .replaceAll('table: input', 'table: holding')
        .replace(/commands:[\s\S]*?lamp:/u, 'lamp:')
        .replace('addressSetBy: register', 'addressSetBy: switch'),
    );
    const [only, ...more] = found(real, [], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({
      kind: 'otherTable',
      sensor: 'coil-b',
      seen: 'holding registers',
      planned: 'input registers',
    });
  });

  test.each([1, -1])('finds that the numbers are one off: %i', (by) => {
    const planned = by === 1 ? 0 : 1;
    const moved = (to: number) => (text: string) =>
      text.replace(/address: (\d+)/gu, (whole, at: string) =>
        whole === '' ? whole : `address: ${Number(at) + to}`,
      );
    const real = withProfile(`moved-${by}.profile.yaml`, moved(planned + by));
    const plan = withProfile(`planned-${by}.profile.yaml`, moved(planned));
    const bench = new Bench(rigOf(real), framing);
    expect(surveyed(rigOf(plan), bench)).toMatchObject([{ kind: 'oneOff', sensor: 'coil-b', by }]);
  });

  test('finds another make than planned', () => {
    const real = swap(RIGHT, ['unitId: 12', 'unitId: 12, profile: holding-floats']);
    const [only, ...more] = found(real, [], framing);
    expect(more).toEqual([]);
    expect(only).toMatchObject({ kind: 'unlike', sensor: 'coil-b' });
    expect(only?.text).toContain('profile holding-floats, serial 240812');
  });

  test('finds a sensor in the place of the field I/O', () => {
    const real = swap(RIGHT, ['charge:', 'fieldIo: { unitId: 201 }\ncharge:']);
    const bench = new Bench(rigOf(`${real}  - { id: x, at: cabinet, unitId: 200 }\n`), framing);
    const kinds = surveyed(rigOf(RIGHT), bench).map(({ kind, unitId }) => [kind, unitId]);
    expect(kinds).toEqual([
      ['unlike', 200],
      ['unexpected', 201],
    ]);
  });
});

test('does not guess which of two missing sensors is the one at the factory address', () => {
  const nameless = RIGHT.replaceAll(/, serial: "2408\d\d"/gu, '');
  const real = swap(
    nameless,
    ['unitId: 11', 'unitId: 1'],
    ['  - { id: coil-b, at: cabinet, unitId: 12 }\n', ''],
  );
  const bench = new Bench(rigOf(real));
  const findings = surveyed(rigOf(nameless), bench);
  expect(findings).toMatchObject([
    { kind: 'unexpected', unitId: 1, atFactoryOf: ['coil-a', 'coil-b'] },
    { kind: 'missing', sensor: 'coil-a', atFactory: 1 },
    { kind: 'missing', sensor: 'coil-b', atFactory: 1 },
  ]);
});

test('a gateway that hears two at once says that nobody answers', () => {
  const paced = swap(RIGHT, ['charge:', 'lines: [{ id: main, pace: { baud: 19200 } }]\ncharge:']);
  const real = `${swap(paced, ['unitId: 12', 'unitId: 11'])}sharedAddresses: allowed\n`;
  const bench = new Bench(rigOf(real));
  const findings = surveyed(rigOf(paced), bench);
  expect(findings).toMatchObject([
    { kind: 'missing', sensor: 'coil-a' },
    { kind: 'missing', sensor: 'coil-b' },
  ]);
  expect(findings.map((finding) => inWords(finding).advice).join()).toContain(
    'a gateway hears two at once as nobody',
  );
});

test('what one answer of several devices lost now and then does not make it two', () => {
  const bench = new Bench(rigOf(RIGHT));
  bench.step({ fault: { in: 'coil-a', kind: 'lossy', probability: 0.1 } });
  bench.step({ fault: { in: 'coil-b', kind: 'wrong-function', probability: 0.1 } });
  expect(surveyed(rigOf(RIGHT), bench)).toEqual([]);
});

describe('any rig', () => {
  const makes = ['reference', 'holding-floats', 'bits-and-counts'];
  const anyRig = fc
    .uniqueArray(
      fc.integer({ min: 1, max: 247 }).filter((unit) => unit !== 200),
      { minLength: 2, maxLength: 7 },
    )
    .chain((units) =>
      fc.record({
        units: fc.constant(units),
        profiles: fc.array(fc.constantFrom(...makes), { minLength: 7, maxLength: 7 }),
        moved: fc.nat({ max: units.length - 2 }),
      }),
    );
  const textOf = (units: readonly number[], profiles: readonly string[]): string =>
    units.reduce(
      (text, unit, index) =>
        `${text}  - { id: s${index}, at: cabinet, unitId: ${unit}, profile: ${profiles[index] ?? ''}, serial: "N${index}" }\n`,
      RIGHT.slice(0, RIGHT.indexOf('  - {')),
    );

  test('surveyed by its own plan gives nothing', () => {
    fc.assert(
      fc.property(anyRig, ({ units, profiles }) => {
        const rig = rigOf(textOf(units, profiles));
        expect(surveyed(rig, new Bench(rig))).toEqual([]);
      }),
      { numRuns: 25 },
    );
  });

  test('with one sensor at an address that nobody planned gives one finding, of that sensor', () => {
    fc.assert(
      fc.property(anyRig, ({ units, profiles, moved }) => {
        const free = units.at(-1) ?? 0;
        const planned = units.slice(0, -1);
        const real = planned.map((unit, index) => (index === moved ? free : unit));
        const findings = surveyed(rigOf(textOf(planned, profiles)), new Bench(rigOf(textOf(real, profiles))));
        expect(findings).toMatchObject([
          { sensor: `s${moved}`, unitId: planned[moved], seenAt: { unitId: free } },
        ]);
      }),
      { numRuns: 25 },
    );
  });
});

/** coil-b with a profile of its own, in a rig that is right but for that. */
function withProfile(name: string, change: (text: string) => string): string {
  variantOfReference(name, change);
  return swap(RIGHT, ['unitId: 12', `unitId: 12, profile: ./${name}`]);
}
