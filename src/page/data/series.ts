/**
 * A list that grows at its end and is cut at its beginning, for hours of points. It is a value: adding
 * gives a new list and leaves the old one as it was, yet little is copied, since both look at the same
 * chunks of items, each at its own stretch of them. An old list that somebody still holds keeps its own
 * chunks alive and nothing that came later.
 *
 * Invariant: items within a list's stretch never change; a list adds to its last chunk in place only where
 * that ends with it, and takes a chunk of its own otherwise.
 */

/** What a reader of a list needs; a plain array will do as well. */
export type Items<Item> = Pick<readonly Item[], 'length' | 'at' | 'slice'>;

const CHUNK = 256;

export class Series<Item> implements Items<Item> {
  readonly #chunks: readonly Item[][];
  /** Items of the first chunk that are no longer in the list. */
  readonly #from: number;
  readonly length: number;

  private constructor(chunks: readonly Item[][], from: number, length: number) {
    this.#chunks = chunks;
    this.#from = from;
    this.length = length;
  }

  static empty<Item>(): Series<Item> {
    return new Series<Item>([], 0, 0);
  }

  at(index: number): Item | undefined {
    const inList = index < 0 ? this.length + index : index;
    if (inList < 0 || inList >= this.length) return undefined;
    const place = this.#from + inList;
    return this.#chunks[Math.floor(place / CHUNK)]?.[place % CHUNK];
  }

  slice(from = 0, to = this.length): Item[] {
    const [first, end] = [this.#from + Math.min(from, this.length), this.#from + Math.min(to, this.length)];
    const chunks = this.#chunks.slice(Math.floor(first / CHUNK), Math.ceil(end / CHUNK));
    const base = Math.floor(first / CHUNK) * CHUNK;
    return chunks.flat().slice(first - base, end - base);
  }

  with(item: Item): Series<Item> {
    const end = this.#from + this.length;
    const full = this.#chunks.slice(0, Math.floor(end / CHUNK));
    const last = this.#chunks[full.length];
    if (last === undefined) return new Series([...full, [item]], this.#from, this.length + 1);
    if (last.length > end % CHUNK) {
      const own = [...last.slice(0, end % CHUNK), item];
      return new Series([...full, own], this.#from, this.length + 1);
    }
    last.push(item);
    return new Series(this.#chunks, this.#from, this.length + 1);
  }

  /** Without its first items. */
  without(count: number): Series<Item> {
    if (count <= 0) return this;
    const gone = Math.min(this.length, count);
    const from = this.#from + gone;
    const chunks = this.#chunks.slice(Math.floor(from / CHUNK));
    return new Series(chunks, from % CHUNK, this.length - gone);
  }
}
