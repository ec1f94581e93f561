/**
 * The search: rounds of batches, each round decided by what the rounds before have covered, so that a seed
 * gives the same drills on any number of workers. Who runs the batches, and where, is not its business.
 */
import type { Rig } from '../../src/rig/index.ts';
import {
  type BatchOrder,
  type Breach,
  type DrillDone,
  planOf,
  type ShrinkOrder,
  type Smallest,
  type Unsteady,
} from './batch.ts';
import { Corpus } from './corpus.ts';
import { Coverage } from './coverage.ts';
import { deedsOf, type Possible } from './deeds.ts';
import { type FocusOrder, WAYS } from './focus.ts';
import { countPairs, nextPairs, type Together, togetherIn } from './pairs.ts';

export interface Executor {
  /** How many batches it can work on at a time. */
  readonly width: number;
  batch(order: BatchOrder): Promise<readonly DrillDone[]>;
  shrink(order: ShrinkOrder): Promise<Smallest>;
}

export interface SearchOptions {
  readonly rig: Rig;
  readonly seed: number;
  /** Drills at the most; Infinity for as long as `goOn` says. */
  readonly runs: number;
  /** Only drills that put every pair of faults together, and no more than that takes. */
  readonly pairwise: boolean;
  /** Stops after so many findings. */
  readonly findingsMax: number;
  /** Asked after each batch: whether there is time left, and nobody has interrupted. */
  readonly goOn: () => boolean;
  readonly progress: (coverage: Coverage, findings: readonly Finding[]) => void;
}

export interface Finding extends Smallest {
  readonly seed: number;
  /** Of the batch, and which drill of it. */
  readonly path: string;
  /** How many drills had been run when it was found. */
  readonly afterDrills: number;
}

export interface Sought {
  readonly coverage: Coverage;
  /** One for each rule that was broken, in the order in which they were found. */
  readonly findings: readonly Finding[];
  /** The first drill in which the controller did not do the same twice. */
  readonly unsteady: Unsteady | null;
  /** Pairs of faults that can stand together on this rig, at all. */
  readonly pairsPossible: number;
}

type Found = ShrinkOrder & { readonly afterDrills: number };

const DRILLS_A_BATCH = 2;
const BATCHES_A_ROUND = 32;
/** Half on the rules, a quarter on what was reached, an eighth each on pairs not yet seen and on anything. */
const TURNS = ['rule', 'further', 'rule', 'pair', 'rule', 'further', 'rule', 'anything'] as const;
/** Drills that shrinking one finding may take. */
const SHRINK_TRIES_MAX = 80;
/** Batch seeds of one search lie so far apart that searches of neighbouring seeds share none. */
const SEEDS_APART = 0x9e3779b1;
const SEED_MAX = 0x7fffffff;

export async function search(executor: Executor, options: SearchOptions): Promise<Sought> {
  const state = new Search(executor, options);
  while (state.hasMore && options.goOn()) await state.round();
  return state.sought();
}

class Search {
  readonly #executor: Executor;
  readonly #options: SearchOptions;
  readonly #coverage = new Coverage();
  readonly #corpus = new Corpus();
  readonly #possible: readonly Possible[];
  readonly #together: Together;
  readonly #findings: Finding[] = [];
  #unsteady: Unsteady | null = null;
  readonly #turns = new Map<FocusOrder, number>();
  #batches = 0;

  constructor(executor: Executor, options: SearchOptions) {
    this.#executor = executor;
    this.#options = options;
    this.#possible = deedsOf(options.rig).possible;
    this.#together = togetherIn(options.rig);
  }

  get hasMore(): boolean {
    const { runs, findingsMax, pairwise } = this.#options;
    if (this.#coverage.drills >= runs || this.#findings.length >= findingsMax) return false;
    return !pairwise || this.#pairs(1).length > 0;
  }

  /** Batches count in their order, whichever is ready first; with enough found, the rest is not begun. */
  async round(): Promise<void> {
    const orders = this.#orders();
    const running = orders.slice(0, this.#ahead).map((order) => this.#begin(order));
    const found = new Map<Breach, Found>();
    for (const [number, order] of orders.entries()) {
      const done = await running[number];
      this.#add(order, done ?? [], found);
      this.#options.progress(this.#coverage, this.#findings);
      const enough = this.#findings.length + found.size >= this.#options.findingsMax;
      if (enough || !this.#options.goOn()) break;
      const next = orders[number + this.#ahead];
      if (next !== undefined) running.push(this.#begin(next));
    }
    await this.#shrinkAll([...found.values()]);
  }

  /** A batch whose outcome nobody waits for any more may fail unheard. */
  #begin(order: BatchOrder): Promise<readonly DrillDone[]> {
    const batch = this.#executor.batch(order);
    batch.catch(() => undefined);
    return batch;
  }

  /** So many batches are under way that no worker waits for the one that counts next. */
  get #ahead(): number {
    const { width } = this.#executor;
    return width > 1 ? 2 * width : 1;
  }

  #add(batch: BatchOrder, drills: readonly DrillDone[], found: Map<Breach, Found>): void {
    for (const [index, { covered, unsteady, breaches }] of drills.entries()) {
      const firsts = this.#coverage.add(covered);
      if (firsts.length > 0) this.#corpus.add(planOf(batch, index, this.#options.rig), firsts);
      this.#unsteady ??= unsteady;
      if (unsteady !== null) continue;
      for (const breach of breaches) {
        if (found.has(breach) || this.#findings.some((one) => one.breach === breach)) continue;
        const afterDrills = this.#coverage.drills;
        found.set(breach, { batch, index, breach, triesMax: SHRINK_TRIES_MAX, afterDrills });
      }
    }
  }

  async #shrinkAll(orders: readonly Found[]): Promise<void> {
    const room = this.#options.findingsMax - this.#findings.length;
    const smallest = await Promise.all(
      orders.slice(0, room).map(async ({ afterDrills, ...order }) => ({
        ...(await this.#executor.shrink(order)),
        seed: this.#options.seed,
        path: `${order.batch.seed}:${order.index}`,
        afterDrills,
      })),
    );
    this.#findings.push(...smallest);
    this.#options.progress(this.#coverage, this.#findings);
  }

  /** The next round; the last may be a smaller one, and its last batch too. */
  #orders(): readonly BatchOrder[] {
    const { runs, pairwise } = this.#options;
    const drillsLeft = runs - this.#coverage.drills;
    const each = pairwise ? 1 : DRILLS_A_BATCH;
    const batches = Math.min(BATCHES_A_ROUND, Math.ceil(drillsLeft / each));
    const focuses = pairwise ? this.#pairs(batches) : this.#focuses(batches);
    return focuses.map((focus, index) => ({
      seed: this.#nextSeed(),
      focus,
      drills: Math.min(each, drillsLeft - index * each),
      twice: index === 0,
    }));
  }

  #nextSeed(): number {
    this.#batches += 1;
    return (Math.imul(this.#batches, SEEDS_APART) ^ this.#options.seed) & SEED_MAX;
  }

  #focuses(count: number): readonly FocusOrder[] {
    const turns = Array.from({ length: count }, (_, index) => TURNS[index % TURNS.length]);
    const pairs = this.#pairs(turns.filter((turn) => turn === 'pair').length);
    let pairsTaken = 0;
    return turns.map((turn): FocusOrder => {
      if (turn === 'further') return this.#further() ?? this.#nextWay();
      if (turn === 'rule') return this.#nextWay();
      if (turn === 'pair') pairsTaken += 1;
      return (turn === 'pair' ? pairs[pairsTaken - 1] : undefined) ?? { on: 'anything' };
    });
  }

  #further(): FocusOrder | undefined {
    const from = this.#corpus.take((what) => this.#coverage.reached.get(what) ?? 0);
    return from === undefined ? undefined : { on: 'further', from };
  }

  /**
   * The way that had fewest turns, where each doubling of the drills that exercised its rule counts as one:
   * a rule that every drill exercises needs few of its own, and one that none can exercise does not take all.
   */
  #nextWay(): FocusOrder {
    const turnsOf = (way: FocusOrder): number => this.#turns.get(way) ?? 0;
    const spent = (way: (typeof WAYS)[number]): number =>
      turnsOf(way) + Math.log2(1 + (this.#coverage.rules.get(way.rule)?.exercised ?? 0));
    const next = WAYS.reduce((least, way) => (spent(way) < spent(least) ? way : least));
    this.#turns.set(next, turnsOf(next) + 1);
    return next;
  }

  #pairs(count: number): readonly FocusOrder[] {
    const groups = nextPairs(this.#possible, this.#together, this.#coverage.pairs, count);
    return groups.map((faults) => ({ on: 'faults', faults }));
  }

  sought(): Sought {
    return {
      coverage: this.#coverage,
      findings: this.#findings,
      unsteady: this.#unsteady,
      pairsPossible: countPairs(this.#possible, this.#together),
    };
  }
}
