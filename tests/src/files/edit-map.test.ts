/** Values are written into a map of a YAML file, and not one byte else is changed. */
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { editMap } from '../../../src/files/index.ts';

const NEW = { serial: '99', installed: '2026-11-26' };
const BEHIND = ['serial', 'unitId'];

const edited = (text: string, values: Readonly<Record<string, string>> = NEW): string | null =>
  editMap(text, ['sensors', 1], values, BEHIND);

/** What stands in {{ }} is to become what follows the bar. */
function marked(text: string): readonly [string, string] {
  const of = (part: '$1' | '$2'): string => text.replace(/\{\{([^|]*)\|([^}]*)\}\}/gu, part);
  return [of('$1'), of('$2')];
}

const FIRST = '  - { id: coil-a, unitId: 11, serial: "240811", installed: 2025-03-01 } # 240812\n';

const CASES: readonly (readonly [string, string])[] = [
  [
    'in a map on one line, whatever stands around it',
    `# 240812 here too\nsensors: # all\n${FIRST}  - {  id: coil-b,unitId: 12, serial:   {{"240812"|"99"}} , installed: {{2025-03-01|2026-11-26}} } # old\nheat:   on\n`,
  ],
  [
    'in a map with a key a line, in the quotes that were there',
    `sensors:\n${FIRST}  - {\n      id: coil-b,\n      unitId: 12, # twelve\n      serial: {{'240812'|'99'}}, # label\n      installed: {{"2025-03-01"|"2026-11-26"}},\n    }\n`,
  ],
  [
    'in a map by lines, with no line end at the end',
    `sensors:\n${FIRST}  - id: coil-b\n    installed: {{2025-03-01|2026-11-26}}   # by hand\n\n    # of the label\n    serial: {{A-7|"99"}}`,
  ],
  [
    'where a value is missing: behind its neighbour, comments where they were',
    `sensors:\n${FIRST}  - id: coil-b # the second\n    unitId: 12 # twelve{{|\n    serial: "99"\n    installed: 2026-11-26}}\n    # of the profile\n    profile: reference\n`,
  ],
  [
    'where a value is missing at the very end',
    `sensors:\n${FIRST}  - id: coil-b\n    serial: {{"7"|"99"}}{{|\n    installed: 2026-11-26}}`,
  ],
  [
    'where a value is missing in a map on one line',
    `sensors:\n${FIRST}  - { id: coil-b, unitId: 12{{|, serial: "99", installed: 2026-11-26}}, profile: reference }\n`,
  ],
  [
    'where a value is missing in a map with a key a line',
    `sensors:\n${FIRST}  - {\n      id: coil-b,\n      unitId: 12, # twelve{{|\n      serial: "99",\n      installed: 2026-11-26,}}\n      at: cabinet,\n    }\n`,
  ],
];

describe('two values are written and nothing else', () => {
  test.each(CASES)('%s', (_, text) => {
    const [before, after] = marked(text);
    expect(edited(before)).toBe(after);
  });

  test.each(CASES)('%s: with the line ends of Windows and a mark at the beginning', (_, text) => {
    const [before, after] = marked(`\uFEFF${text.replaceAll('\n', '\r\n')}`);
    expect(edited(before)).toBe(after);
  });

  test.each(['240812', 'A, B', 'a: b', '"7"', "it's #7", 'true', '- x', '\\n', '0x1F', '1e3', '*a', 'Ä'])(
    'a serial such as %s comes back as it is, whatever its quotes were',
    (serial) => {
      for (const old of ['A-7', '"7"', "'7'"]) {
        const text = `sensors:\n${FIRST}  - { id: coil-b, serial: ${old}, unitId: 12 }\n`;
        const { sensors } = parse(edited(text, { serial }) ?? '') as { sensors: { serial: string }[] };
        expect(sensors[1]?.serial, old).toBe(serial);
      }
    },
  );
});

describe('nothing is written', () => {
  test.each([
    ['where the map is an alias of another', `sensors:\n  - &a { serial: "1", unitId: 1 }\n  - *a\n`],
    ['where the value is an alias', `x: &x "1"\nsensors:\n  - {}\n  - { serial: *x, unitId: 1 }\n`],
    [
      'where the value is repeated elsewhere by its anchor',
      `sensors:\n  - {}\n  - { serial: &x "1", unitId: 1 }\nx: *x\n`,
    ],
    [
      'where the map is repeated elsewhere',
      `y: &y { serial: "1", unitId: 1 }\nsensors:\n  - *y\n  - &z { serial: "1", unitId: 1 }\nx: *z\n`,
    ],
    ['where the value is a list', `sensors:\n  - {}\n  - { serial: [1], unitId: 1 }\n`],
    ['where no neighbour is there', `sensors:\n  - {}\n  - { id: b }\n`],
    ['where there is no such map', `sensors: []\n`],
  ])('%s', (_, text) => {
    expect(edited(text)).toBeNull();
  });
});
