/** Which registers and bits the points and commands of a profile claim, and where two claim the same. */
import { isBitTable, type Point, wordsOf } from './point.ts';
import { POINT_KINDS, type PointName } from './points.ts';

export interface ProfileProblem {
  readonly path: readonly string[];
  readonly message: string;
}

interface Claim {
  readonly path: readonly [string, string];
  readonly table: Point['table'];
  readonly first: number;
  readonly last: number;
  /** null for all of them. */
  readonly bit: number | null;
}

/** Everything that takes what an earlier one has taken. */
export function claimProblems(
  points: Partial<Record<PointName, Point>>,
  commands: Readonly<Record<string, { readonly address: number } | undefined>>,
): readonly ProfileProblem[] {
  const claims = [...commandClaims(commands), ...pointClaims(points)];
  return claims.flatMap((claim, index) => {
    const other = claims.slice(0, index).find((earlier) => clash(earlier, claim));
    if (other === undefined) return [];
    return [{ path: claim.path, message: sentence(claim, other) }];
  });
}

function sentence(claim: Claim, other: Claim): string {
  const name = other.path.join('.');
  if (isBitTable(claim.table)) return `takes the address of ${name}; give one of them another`;
  return claim.bit === null || other.bit === null
    ? `takes a register of ${name}; give one of them another address`
    : `takes the bit of ${name}; give one of them another`;
}

function commandClaims(
  commands: Readonly<Record<string, { readonly address: number } | undefined>>,
): readonly Claim[] {
  return Object.entries(commands).flatMap(([name, command]) => {
    if (command === undefined) return [];
    const { address } = command;
    return [{ path: ['commands', name], table: 'holding', first: address, last: address, bit: null }];
  });
}

function pointClaims(points: Partial<Record<PointName, Point>>): readonly Claim[] {
  return Object.entries(points).map(([name, point]) => ({
    path: ['points', name],
    table: point.table,
    first: point.address,
    last: point.address + wordsOf(point) - 1,
    bit: POINT_KINDS[name as PointName] === 'flag' ? (point.bit ?? null) : null,
  }));
}

/** Two that claim one register; flags may share theirs, each with a bit of its own. */
function clash(one: Claim, other: Claim): boolean {
  const apart = one.table !== other.table || one.first > other.last || other.first > one.last;
  return !apart && (one.bit === null || other.bit === null || one.bit === other.bit);
}
