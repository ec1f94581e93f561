/** The register table of the reference profile, and the map of the field I/O. */
import {
  COILS,
  COMPRESSOR_COIL_FIRST,
  CONTACT_INPUT_FIRST,
  CONTACT_INPUT_LAST,
  INPUTS,
  IO_REGISTERS,
  RUNNING_INPUT_FIRST,
} from '../../rig/index.ts';
import {
  loadProfileFile,
  POINT_WORDS,
  type Point,
  type PointName,
  type Profile,
  profileFile,
  READ_FUNCTIONS,
  TABLE_WORDS,
  wordsOf,
} from '../../sensor/index.ts';
import { formatDuration } from '../../units/index.ts';
import { code, table } from './markdown.ts';

type Commands = Required<NonNullable<Profile['commands']>>;
type Command = NonNullable<Commands[keyof Commands]>;

export function registersTold(): string {
  const read = loadProfileFile(profileFile('reference', '') ?? '');
  if (!read.ok) throw new Error('the reference profile cannot be read');
  const { points, commands } = read.value;
  const rows = (Object.entries(points) as [PointName, Point][]).map(([name, point]) => [
    `${TABLE_WORDS[point.table]} (FC ${READ_FUNCTIONS[point.table]})`,
    addressesOf(point),
    code(name),
    [POINT_WORDS[name], ...formOf(point)].join('; '),
  ]);
  const written = (Object.entries({ ...commands }) as [string, Command][]).map(([name, command]) => [
    'holding registers (FC 3, 6, 16)',
    String(command.address),
    code(name),
    commandTold(command),
  ]);
  const head = ['table', 'address', 'name', 'holds'];
  return `PDU addresses, from 0.\n\n### Profile \`reference\`\n\n${table(head, [...rows, ...written])}\n\n### Field I/O\n\n${fieldIo()}`;
}

function commandTold(command: Command): string {
  if ('values' in command) return valuesTold(command.values).join('; ');
  if (!('value' in command)) return 'the address to take up at the next power-up';
  const { value, opensFor } = command;
  return `0x${value.toString(16).toUpperCase()} lets a new address be written for ${formatDuration(opensFor)}`;
}

function valuesTold(values: Readonly<Record<string, number | undefined>>): readonly string[] {
  return Object.entries(values).map(([name, value]) => `${value}: ${name}`);
}

function addressesOf(point: Point): string {
  const last = point.address + wordsOf(point) - 1;
  return last === point.address ? String(last) : `${point.address} to ${last}`;
}

function formOf({ type, bit, scale, invalid, values }: Point): readonly string[] {
  return [
    ...(bit === undefined ? [] : [`bit ${bit}`]),
    ...(type === 'u16' ? [] : [type]),
    ...(scale === 1 ? [] : [`one count is ${scale}`]),
    ...(invalid === undefined ? [] : [`${invalid}: no valid reading`]),
    ...valuesTold(values ?? {}),
  ];
}

function fieldIo(): string {
  const rows = (words: string, map: Readonly<Record<string, number>>) =>
    Object.entries(map).map(([name, address]) => [words, String(address), code(name)]);
  return table(
    ['table', 'address', 'name'],
    [
      ...rows('coils (FC 1, 5, 15)', COILS),
      ['coils (FC 1, 5, 15)', `${COMPRESSOR_COIL_FIRST} on`, 'compressors, one a circuit'],
      ...rows('discrete inputs (FC 2)', INPUTS),
      [
        'discrete inputs (FC 2)',
        `${CONTACT_INPUT_FIRST} to ${CONTACT_INPUT_LAST}`,
        'contact sensors; 1 is closed',
      ],
      ['discrete inputs (FC 2)', `${RUNNING_INPUT_FIRST} on`, 'compressor running, one a circuit'],
      ...rows('input registers (FC 4)', IO_REGISTERS),
    ],
  );
}
