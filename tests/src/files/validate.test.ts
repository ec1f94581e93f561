import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { gasAmount, quantity, switchSchema, validate } from '../../../src/files/index.ts';

function sentences(schema: z.ZodType, written: unknown): readonly string[] {
  const checked = validate(schema, written);
  return checked.ok ? [] : checked.findings.map((finding) => finding.message);
}

test('a value that fits comes back as the schema makes it', () => {
  const schema = z.strictObject({ lasts: quantity('time'), on: switchSchema.default(true) });
  expect(validate(schema, { lasts: '2 min' })).toEqual({ ok: true, value: { lasts: 120_000, on: true } });
});

describe('a sentence', () => {
  test.each<[string, z.ZodType, unknown, string]>([
    ['a map', z.object({}), [], 'takes a map of keys and values'],
    ['a list', z.array(z.string()), {}, 'takes a list'],
    ['a text', z.string(), 5, 'takes a text; put it in quotes'],
    ['a text, for a map', z.string(), {}, 'takes a text'],
    ['a map by its kind', z.record(z.string(), z.int()), 5, 'takes a map of keys and values'],
    ['a number', z.number(), '5', 'takes a number'],
    ['a whole number', z.int(), 1.5, 'takes a whole number'],
    ['true or false', z.boolean(), 'x', 'takes true or false'],
    ['a kind it has no word for', z.null(), 'x', 'takes null'],
    ['one value', z.literal(1), 2, 'takes 1'],
    ['one of several', z.enum(['a', 'b']), 'c', 'takes one of a, b'],
    ['a lower limit', z.number().min(2), 1, 'takes at least 2'],
    ['a lower limit, itself not taken', z.number().gt(2), 2, 'takes more than 2'],
    ['an upper limit', z.number().max(2), 3, 'takes at most 2'],
    ['an upper limit, itself not taken', z.number().lt(2), 2, 'takes less than 2'],
    ['a text of some length', z.string().min(1), '', 'takes at least 1 character'],
    ['a text no longer than', z.string().max(2), 'abc', 'takes at most 2 characters'],
    ['a list of some length', z.array(z.int()).min(1), [], 'takes at least 1 entry'],
    ['a list no longer than', z.array(z.int()).max(2), [1, 2, 3], 'takes at most 2 entries'],
    ['what only zod has words for', z.email(), 'x', 'Invalid email address'],
  ])('says what it takes: %s', (_, schema, written, sentence) => {
    expect(sentences(schema, written)).toEqual([sentence]);
  });

  test('lets the schema speak for itself where it has a sentence of its own', () => {
    expect(sentences(z.string({ error: 'takes a name' }), 5)).toEqual(['takes a name']);
  });

  test('says "is missing" where nothing was written, and what belongs there', () => {
    const schema = z.object({
      name: z.string(),
      t90: quantity('time'),
      way: z.string({ error: 'choose a way' }),
    });
    expect(sentences(schema, {})).toEqual([
      'name: is missing; it takes a text',
      't90: is missing; it takes a number and a unit, such as "1 s" (units it takes: s, ms, min, h, days, years)',
      'way: choose a way',
    ]);
  });

  test('names its place as a path', () => {
    const schema = z.object({ sensors: z.array(z.object({ place: z.object({ at: z.string() }) })) });
    expect(sentences(schema, { sensors: [{ place: { at: 'x' } }, { place: { at: 5 } }] })).toEqual([
      'sensors[1].place.at: takes a text; put it in quotes',
    ]);
  });
});

describe('a key that is not known', () => {
  const schema = z.strictObject({ setpoint: z.string(), clearBelow: z.string() }).partial();

  test('is a finding of its own for each key, with the path of the key', () => {
    expect(validate(z.object({ policy: schema }), { policy: { setpont: 'x', zebra: 'y' } })).toEqual({
      ok: false,
      findings: [
        {
          at: 'key',
          path: ['policy', 'setpont'],
          message: 'policy: "setpont" is not known here; did you mean "setpoint"?',
        },
        {
          at: 'key',
          path: ['policy', 'zebra'],
          message: 'policy: "zebra" is not known here; it takes setpoint, clearBelow',
        },
      ],
    });
  });

  test('of a record is held against the words that the record takes', () => {
    const record = z.partialRecord(z.enum(['measuring', 'failed']), z.int());
    expect(sentences(record, { mesuring: 1 })).toEqual([
      '"mesuring" is not known here; did you mean "measuring"?',
    ]);
  });

  test('in a map that takes none is to be left out', () => {
    expect(sentences(z.strictObject({}), { now: 1 })).toEqual(['"now" is not known here; leave it out']);
  });

  test('in a map with a sentence of its own gets that as advice', () => {
    expect(sentences(z.strictObject({}, { error: 'takes {}' }), { now: 1 })).toEqual([
      '"now" is not known here; it takes {}',
    ]);
  });
});

describe('of a choice between shapes', () => {
  const byRate = z.strictObject({ at: z.string(), rate: quantity('massRate') });
  const byCharge = z.strictObject({ at: z.string(), kg: quantity('mass'), emptiesIn: quantity('time') });
  const release = z.union([switchSchema, byRate, byCharge], { error: 'takes off, or a release' });

  test('the branch that was meant speaks: the deepest one', () => {
    expect(sentences(z.union([z.string(), z.object({ lfl: gasAmount })]), { lfl: 5 })).toEqual([
      'lfl: 5 needs its unit, such as "5 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3)',
    ]);
  });

  test('of two equally deep the one with fewer mistakes speaks', () => {
    expect(sentences(release, { at: 'cabinet', kg: '4 kg', emptiesIn: 4 })).toEqual([
      'emptiesIn: 4 needs its unit, such as "4 s" (units it takes: s, ms, min, h, days, years)',
    ]);
    expect(sentences(release, { at: 'cabinet', rate: 'fast' })).toEqual([
      'rate: takes a number and a unit, such as "1 g/s" (units it takes: g/s, g/min, kg/s, kg/h, kg/min, lb/min, lb/h)',
    ]);
  });

  test('a key that is not known counts as deep as the map it is in', () => {
    expect(sentences(release, { at: 'cabinet', rate: '1 g/s', last: 1 })).toEqual([
      '"last" is not known here; it takes at, rate',
    ]);
  });

  test('the choice itself speaks where no branch was entered', () => {
    for (const written of [5, null, 'maybe', []])
      expect(sentences(release, written)).toEqual(['takes off, or a release']);
  });

  test('without a sentence of its own the first branch speaks', () => {
    expect(sentences(z.union([z.string(), z.int()]), true)).toEqual(['takes a text; put it in quotes']);
  });

  test('speaks through a choice in a choice', () => {
    const nested = z.object({ a: z.union([z.string(), z.object({ b: z.union([z.int(), byRate]) })]) });
    expect(sentences(nested, { a: { b: { at: 5, rate: '1 g/s' } } })).toEqual([
      'a.b.at: takes a text; put it in quotes',
    ]);
  });

  test('that a key decides, a key without its word is told', () => {
    const decided = z.discriminatedUnion(
      'kind',
      [z.object({ kind: z.literal('modbus') }), z.object({ kind: z.literal('contact') })],
      { error: 'takes modbus or contact' },
    );
    expect(sentences(decided, { kind: 'other' })).toEqual(['kind: takes modbus or contact']);
  });
});
