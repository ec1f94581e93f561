/**
 * A list that grows at its end and is cut at its beginning, for hours of points. It is a value: adding
 * gives a new list and leaves the old one as it was, yet nothing is copied, since both look at the same
 * items, each at its own stretch of them.
 *
 * Invariant: items within a list's stretch never change; only the longest list of a store adds in place,
 * any other takes a store of its own first.
 */

/** What a reader of a list needs; a plain array will do as well. */
export type Items<Item> = Pick<readonly Item[], 'length' | 'at' | 'slice'>;

/** Of the items that are kept, so many may lie before them that are not. */
const WASTE = 1 / 16;

export class Series<Item> implements Items<Item> {
  readonly #store: Item[];
  readonly #from: number;
  readonly #to: number;

  private constructor(store: Item[], from: number, to: number) {
    this.#store = store;
    this.#from = from;
    this.#to = to;
  }

  static empty<Item>(): Series<Item> {
    return new Series<Item>([], 0, 0);
  }

  get length(): number {
    return this.#to - this.#from;
  }

  at(index: number): Item | undefined {
    const place = index < 0 ? this.#to + index : this.#from + index;
    return place >= this.#from && place < this.#to ? this.#store[place] : undefined;
  }

  slice(from = 0, to = this.length): Item[] {
    return this.#store.slice(
      this.#from + Math.min(from, this.length),
      this.#from + Math.min(to, this.length),
    );
  }

  with(item: Item): Series<Item> {
    if (this.#store.length > this.#to) return new Series([...this.slice(), item], 0, this.length + 1);
    this.#store.push(item);
    return new Series(this.#store, this.#from, this.#to + 1);
  }

  /** Without its first items. They are let go once there are enough of them: one copy for many cuts. */
  without(count: number): Series<Item> {
    if (count <= 0) return this;
    const from = Math.min(this.#to, this.#from + count);
    const kept = this.#to - from;
    return from > kept * WASTE
      ? new Series(this.#store.slice(from, this.#to), 0, kept)
      : new Series(this.#store, from, this.#to);
  }
}
