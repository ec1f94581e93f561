/** Procedures against scripted answers: how often is asked, and what is believed. */
import { describe, expect, test } from 'vitest';
import type { DeviceObject, Request, Response } from '../../../src/modbus/index.ts';
import type { Outcome } from '../../../src/poll/index.ts';
import { readIdentity } from '../../../src/survey/identity.ts';
import { type Asking, answersAlike, askSteadily, lookAt, spotsOf } from '../../../src/survey/index.ts';
import { likeness } from '../../../src/survey/plausible.ts';
import { unitId } from '../../../src/units/index.ts';
import { RIGHT, rigOf, SHIPPED } from './rigs.ts';

type Say = (request: Request, unit: number, count: number) => Outcome<Response>;

function play<Result>(procedure: Asking<Result>, say: Say) {
  const asked: Request[] = [];
  for (let step = procedure.next(); ; ) {
    if (step.done === true) return { result: step.value, asked };
    const { request, unitId: unit } = step.value;
    asked.push(request);
    step = procedure.next({ outcome: say(request, unit, asked.length), nowMs: asked.length });
  }
}

const SILENT: Outcome<Response> = { kind: 'silent' };
const GARBLED: Outcome<Response> = { kind: 'mismatched', field: 'checksum' };
const refused = (exception: number): Outcome<Response> => ({ kind: 'refused', exception });
const read = (...values: number[]): Outcome<Response> => ({
  kind: 'answered',
  answer: { kind: 'read', functionCode: 4, values: Uint16Array.from(values) },
});
const PROBE: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 1 };
const UNIT = unitId(5);

describe('one question', () => {
  test.each([
    ['one answer', [read(1)], 'answered', 1],
    ['a lost answer is asked for once more', [SILENT, read(1)], 'answered', 2],
    ['two silences are nobody', [SILENT, SILENT], 'silent', 2],
    ['a gateway’s word for nobody is a silence', [refused(0x0b), SILENT], 'silent', 2],
    ['a gateway without a path is believed at once', [refused(0x0a)], 'noPath', 1],
    ['any other exception is an answer', [refused(2)], 'refused', 1],
    ['three broken answers are no accident', [GARBLED, GARBLED, GARBLED], 'garbled', 3],
    ['a sound one after two broken ones counts', [GARBLED, GARBLED, read(1)], 'answered', 3],
    ['broken and silent in turn is broken', [GARBLED, SILENT, SILENT], 'garbled', 3],
  ] as const)('%s', (_, outcomes, kind, times) => {
    const { result, asked } = play(
      askSteadily(UNIT, PROBE),
      (__, ___, count) => outcomes[count - 1] ?? SILENT,
    );
    expect([result.kind, asked.length]).toEqual([kind, times]);
  });
});

const object = (id: number, text: string): DeviceObject => ({ id, value: new TextEncoder().encode(text) });
const told = (nextObjectId: number | null, ...objects: DeviceObject[]): Outcome<Response> => ({
  kind: 'answered',
  answer: { kind: 'identify', functionCode: 43, readCode: 2, conformity: 0x82, nextObjectId, objects },
});

describe('identification', () => {
  test('is read in as many parts as it takes', () => {
    const { result } = play(readIdentity(UNIT), (request) => {
      if (request.kind !== 'identify' || request.readCode === 4) return refused(2);
      return request.objectId === 0
        ? told(4, object(0, 'Tide'), object(1, 'T1'))
        : told(null, object(4, 'Nose'));
    });
    expect(result).toEqual({ maker: 'Tide', product: 'Nose', revision: '', model: '', own: '' });
  });

  test('that sends us in a circle ends', () => {
    const { result, asked } = play(readIdentity(UNIT), () => told(0, object(0, 'Round')));
    expect(result?.maker).toBe('Round');
    expect(asked.length).toBeLessThan(5);
  });

  test('that goes on for ever ends', () => {
    const { asked } = play(readIdentity(UNIT), (request) =>
      request.kind === 'identify' ? told(request.objectId + 1, object(request.objectId, 'x')) : SILENT,
    );
    expect(asked.length).toBeLessThan(40);
  });

  test('is asked for at the lower level where the higher is refused', () => {
    const { result } = play(readIdentity(UNIT), (request) =>
      request.kind === 'identify' && request.readCode === 1 ? told(null, object(0, 'Plain')) : refused(3),
    );
    expect(result?.maker).toBe('Plain');
  });

  test('in bytes that are no text says nothing', () => {
    const { result } = play(readIdentity(UNIT), () => told(null, { id: 0, value: Uint8Array.of(7, 200) }));
    expect(result?.maker).toBe('');
  });

  test.each([SILENT, refused(1), GARBLED])('that is not spoken is none: %j', (outcome) => {
    expect(play(readIdentity(UNIT), () => outcome).result).toBeNull();
  });
});

describe('whether all addresses answer alike', () => {
  const nobody = (): boolean => false;

  test.each([
    ['the same word', () => read(2), true],
    ['the same exception', () => refused(1), true],
    ['each its own word', (_: Request, unit: number) => read(unit), false],
    ['nobody', () => SILENT, false],
    ['a gateway’s word for nobody', () => refused(0x0b), false],
    ['a gateway’s word for no path', () => refused(0x0a), false],
    ['noise', () => GARBLED, false],
  ])('%s: %s', (_, say, alike) => {
    expect(play(answersAlike(nobody), say).result).toBe(alike);
  });

  test('planned addresses are left out, so that a right rig of many sensors is not suspected', () => {
    const asked = new Set<number>();
    play(
      answersAlike((unit) => unit === 247),
      (_, unit) => {
        asked.add(unit);
        return read(1);
      },
    );
    expect(asked.size).toBe(4);
    expect(asked.has(247)).toBe(false);
  });

  test('with too few addresses that nobody planned it cannot be told, and is not', () => {
    expect(
      play(
        answersAlike((unit) => unit !== 247),
        () => read(1),
      ).result,
    ).toBe(false);
  });
});

describe('two at one address', () => {
  const rig = rigOf(RIGHT);
  const [spot] = spotsOf(rig, 'main', [11]);
  /** The reference profile's 19 input registers, measuring, with this serial. */
  const registers = (serial: string): Outcome<Response> => {
    const words = [2, 2, 0, 0, 200, 0, 0, 5, 900, 200, 7, 0x522d, 0x3332, 0x2020, 0x2020];
    const text = serial.padEnd(8);
    for (let at = 0; at < 8; at += 2) words.push((text.charCodeAt(at) << 8) | text.charCodeAt(at + 1));
    return read(...words);
  };

  test('that answer in turn are known by their serials', () => {
    if (spot === undefined) throw new Error('no spot');
    let turn = 0;
    const { result } = play(lookAt(spot, SHIPPED), (request) => {
      if (request.kind !== 'read') return refused(1);
      turn += 1;
      return registers(turn % 2 === 1 ? '240811' : '777');
    });
    expect(result.found).toEqual({ kind: 'garbled', how: 'serial 240811, then serial 777' });
  });

  test('are not seen where one answers the same each time', () => {
    if (spot === undefined) throw new Error('no spot');
    const { result } = play(lookAt(spot, SHIPPED), (request) =>
      request.kind === 'read' ? registers('240811') : refused(1),
    );
    expect(result.found).toMatchObject({ kind: 'present', serial: '240811', identity: null });
  });
});

describe('likeness to a gas sensor', () => {
  const reference = SHIPPED.find(({ profile }) => profile.name === 'reference');
  const sound = {
    state: 'measuring',
    gasPercentLfl: 3,
    setpointPercentLfl: 20,
    temperatureC: 20,
    refrigerant: 'R-32',
    serial: '1',
  } as const;

  test.each([
    ['all sound', {}, ''],
    ['an unknown state word', { state: undefined }, 'its state word is none of the known ones'],
    ['bytes for a serial', { serial: '\u0000\u0001' }, 'its serial is no text'],
    ['a setpoint of zero', { setpointPercentLfl: 0 }, 'its setpoint'],
    ['ice', { temperatureC: -200 }, 'its temperatureC would be -200'],
    ['more than pure vapour', { gasPercentLfl: 5000 }, 'its gasPercentLfl would be 5000'],
  ])('%s', (_, change, against) => {
    if (reference === undefined) throw new Error('no profile');
    const found = likeness(reference.profile, { ...sound, ...change });
    expect(found.plausible).toBe(against === '');
    expect(found.against).toContain(against);
  });
});
