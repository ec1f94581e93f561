/** What profile the registers of a device have, and where: as planned, one off, in another table. */
import type { Request } from '../modbus/index.ts';
import {
  OTHER_TABLE,
  READ_FUNCTIONS,
  type ReadBlock,
  type SensorAnswer,
  type SensorCodec,
  type Table,
} from '../sensor/index.ts';
import type { UnitId } from '../units/index.ts';
import { type Asking, askSteadily, type Steady } from './asking.ts';
import { type Likeness, likeness } from './plausible.ts';

/** What a device turned out to be. */
export type Fit =
  /** Its points stand where this profile has them. */
  | { readonly kind: 'profile'; readonly codec: SensorCodec; readonly answer: SensorAnswer }
  /** They stand so many registers further on. */
  | {
      readonly kind: 'shifted';
      readonly codec: SensorCodec;
      readonly answer: SensorAnswer;
      readonly by: 1 | -1;
    }
  /** They stand in the other table of the same width. */
  | { readonly kind: 'otherTable'; readonly codec: SensorCodec; readonly answer: SensorAnswer }
  /** No profile that is known reads sense out of it; `because` is a clause. */
  | { readonly kind: 'none'; readonly because: string };

/** The words of every block, or what stood against it. */
type WordsRead =
  | { readonly kind: 'read'; readonly words: readonly Uint16Array[] }
  | Exclude<Steady, { readonly kind: 'answered' }>;

/** Where the blocks of a profile are looked for. */
interface Elsewhere {
  readonly by: number;
  readonly table: (table: Table) => Table;
}

const AS_WRITTEN: Elsewhere = { by: 0, table: (table) => table };
const IN_OTHER_TABLE: Elsewhere = { by: 0, table: (table) => OTHER_TABLE[table] };

/** Exceptions 01 and 02: it does not have that function, or that address. */
const NOT_THERE: readonly number[] = [1, 2];

export interface Tried {
  readonly likeness: Likeness;
  readonly answer: SensorAnswer;
  readonly read: WordsRead;
}

/** Reads everything that a profile has, and holds it against what a sensor can say. */
export function* tryProfile(unitId: UnitId, codec: SensorCodec, where = AS_WRITTEN): Asking<Tried> {
  const read = yield* readBlocks(unitId, codec.reads, where);
  if (read.kind !== 'read') {
    return { read, answer: {}, likeness: { plausible: false, evidence: 0, against: refusalText(read) } };
  }
  let answer: SensorAnswer = {};
  codec.reads.forEach((block, index) => {
    answer = { ...answer, ...codec.decode(block, read.words[index] ?? []) };
  });
  return { read, answer, likeness: likeness(codec.profile, answer) };
}

/**
 * A planned sensor whose own profile does not fit as it is: the same one register on or back, then the other
 * table, then any other profile. Only a state word or a text is proof enough that points stand elsewhere; in
 * another table it is enough that the planned one refused.
 */
export function* fitElsewhere(
  unitId: UnitId,
  planned: SensorCodec,
  asWritten: Tried,
  known: readonly SensorCodec[],
): Asking<Fit> {
  for (const by of [1, -1] as const) {
    const tried = yield* tryProfile(unitId, planned, { ...AS_WRITTEN, by });
    if (isProof(tried)) return { kind: 'shifted', codec: planned, answer: tried.answer, by };
  }
  const inOther = yield* tryProfile(unitId, planned, IN_OTHER_TABLE);
  const refused = asWritten.read.kind === 'refused' && NOT_THERE.includes(asWritten.read.exception);
  if (isProof(inOther) || (refused && inOther.likeness.plausible)) {
    return { kind: 'otherTable', codec: planned, answer: inOther.answer };
  }
  const others = known.filter(({ profile }) => profile.name !== planned.profile.name);
  const best = yield* bestOf(unitId, others);
  return best ?? { kind: 'none', because: asWritten.likeness.against };
}

/** The known profile that most speaks for; one that nothing speaks against is better than none. */
export function* bestOf(unitId: UnitId, known: readonly SensorCodec[]): Asking<Fit | null> {
  let best: (Tried & { readonly codec: SensorCodec }) | null = null;
  for (const codec of known) {
    const tried = yield* tryProfile(unitId, codec);
    if (!tried.likeness.plausible) continue;
    if (best === null || tried.likeness.evidence > best.likeness.evidence) best = { ...tried, codec };
  }
  return best === null ? null : { kind: 'profile', codec: best.codec, answer: best.answer };
}

function isProof({ likeness: { plausible, evidence } }: Tried): boolean {
  return plausible && evidence > 0;
}

function* readBlocks(unitId: UnitId, reads: readonly ReadBlock[], where: Elsewhere): Asking<WordsRead> {
  const words: Uint16Array[] = [];
  for (const block of reads) {
    const request = requestOf(block, where);
    if (request === null) return { kind: 'refused', exception: 2 };
    // The last read of all listens on: whoever answers twice is two.
    const steady = yield* askSteadily(unitId, request, words.length === reads.length - 1);
    if (steady.kind !== 'answered') return steady;
    if (steady.response.kind !== 'read') return { kind: 'garbled', field: 'functionCode' };
    words.push(steady.response.values);
  }
  return { kind: 'read', words };
}

/** null where no register has such an address. */
function requestOf({ table, address, quantity }: ReadBlock, where: Elsewhere): Request | null {
  const from = address + where.by;
  if (from < 0 || from + quantity > 0x10000) return null;
  return { kind: 'read', functionCode: READ_FUNCTIONS[where.table(table)], address: from, quantity };
}

function refusalText(read: Exclude<WordsRead, { readonly kind: 'read' }>): string {
  switch (read.kind) {
    case 'refused':
      return `it refuses to be read there (exception ${String(read.exception).padStart(2, '0')})`;
    case 'garbled':
      return `its answers are broken (${read.field})`;
    case 'silent':
    case 'noPath':
      return 'it does not answer such a read';
  }
}
