/**
 * What to change where a rig does not fit: every change is worked out anew by the same budget, and only those
 * are told that help, with the figures that they would give.
 */
import type { Rig } from '../rig/index.ts';
import { type Budget, budgetOf } from './budget.ts';
import { type Change, FAMILIES } from './changes.ts';
import type { Limit, LimitId } from './limits.ts';
import type { Assumptions } from './response.ts';

export interface Suggestion {
  /** One change, or several together. */
  readonly words: string;
  readonly costs: readonly string[];
  /** Every limit would be met. */
  readonly fits: boolean;
  /** Of each limit that is broken as it is: what it would be. */
  readonly figures: readonly Figure[];
}

export interface Figure {
  readonly id: LimitId;
  readonly beforeMs: number;
  readonly afterMs: number;
  readonly limitMs: number;
  readonly fits: boolean;
}

interface Tried {
  readonly changes: readonly Change[];
  readonly figures: readonly Figure[];
  readonly broken: number;
  readonly fits: boolean;
}

/** A figure that moves by less is no help to anybody. */
const HELPS_SHARE = 0.02;

export function adviceFor(rig: Rig, budget: Budget): readonly Suggestion[] {
  if (budget.fits) return [];
  const { assumptions } = budget;
  const singles = FAMILIES.flatMap((family) => {
    const helping = family(rig, assumptions)
      .map((change) => tried([change], change.rig, budget))
      .filter((one) => helps(one, budget));
    return mildest(helping);
  });
  const together = singles.some(({ fits }) => fits) ? [] : combined(rig, assumptions, budget);
  const ranked = [...singles, ...together].sort((one, other) => one.broken - other.broken);
  return ranked.map(({ changes, figures, fits }) => ({
    words: changes.map(({ words }) => words).join(', and '),
    costs: changes.flatMap(({ costs }) => (costs === null ? [] : [costs])),
    fits,
    figures,
  }));
}

/** The first that meets every limit; where none does, the one that leaves least broken. */
function mildest(helping: readonly Tried[]): readonly Tried[] {
  const enough = helping.find(({ fits }) => fits);
  if (enough !== undefined) return [enough];
  const [best] = [...helping].sort(
    (one, other) => one.broken - other.broken || farthest(one) - farthest(other),
  );
  return best === undefined ? [] : [best];
}

/** How far the worst figure still is from its limit, as a share of it. */
function farthest({ figures }: Tried): number {
  return Math.max(...figures.map(({ afterMs, limitMs }) => afterMs / limitMs));
}

/** Where no single change is enough: the mildest two together that are. */
function combined(rig: Rig, assumptions: Assumptions, budget: Budget): readonly Tried[] {
  for (const [index, family] of FAMILIES.entries()) {
    for (const first of family(rig, assumptions)) {
      for (const other of FAMILIES.slice(index + 1)) {
        for (const second of other(first.rig, assumptions)) {
          const both = tried([first, second], second.rig, budget);
          if (both.fits) return [both];
        }
      }
    }
  }
  return [];
}

function tried(changes: readonly Change[], rig: Rig, before: Budget): Tried {
  const after = budgetOf(rig, before.assumptions);
  const worstBefore = worstById(before.limits);
  const worstAfter = worstById(after.limits);
  const figures = [...worstBefore.values()]
    .filter(({ fits }) => !fits)
    .flatMap(({ id, needMs: beforeMs }) => {
      const now = worstAfter.get(id);
      if (now === undefined) return [];
      return [{ id, beforeMs, afterMs: now.needMs, limitMs: now.limitMs, fits: now.fits }];
    });
  const broken = [...worstAfter.values()].filter(({ fits }) => !fits).length;
  return { changes, figures, broken, fits: after.fits };
}

/** A changed rig has other lines, so limits are compared by what they are, each at its worst. */
function worstById(limits: readonly Limit[]): ReadonlyMap<LimitId, Limit> {
  const worst = new Map<LimitId, Limit>();
  for (const limit of limits) {
    const known = worst.get(limit.id);
    if (known === undefined || limit.needMs / limit.limitMs > known.needMs / known.limitMs)
      worst.set(limit.id, limit);
  }
  return worst;
}

function helps({ broken, figures }: Tried, before: Budget): boolean {
  const brokenBefore = [...worstById(before.limits).values()].filter(({ fits }) => !fits).length;
  if (broken > brokenBefore) return false;
  const nearer = figures.some(({ beforeMs, afterMs }) => afterMs < beforeMs * (1 - HELPS_SHARE));
  const farther = figures.some(({ beforeMs, afterMs, fits }) => !fits && afterMs > beforeMs);
  return broken < brokenBefore || (nearer && !farther);
}
