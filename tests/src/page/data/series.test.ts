import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Series } from '../../../../src/page/data/series.ts';

describe('a list that grows at its end and is cut at its beginning', () => {
  // Long enough for several of its chunks.
  it('is what a plain array would be, and stays so whatever becomes of its descendants', () => {
    const deed = fc.oneof(
      fc.record({ add: fc.integer({ min: 1, max: 200 }), to: fc.nat() }),
      fc.record({ cut: fc.nat({ max: 300 }), of: fc.nat() }),
    );
    fc.assert(
      fc.property(fc.array(deed, { maxLength: 40 }), (deeds) => {
        const all: { readonly series: Series<number>; readonly plain: readonly number[] }[] = [
          { series: Series.empty<number>(), plain: [] },
        ];
        // Half of the deeds are done to the newest, as a fold does; the others to any before it.
        const chosen = (number: number) => all[number % 2 === 0 ? all.length - 1 : number % all.length];
        for (const one of deeds) {
          const parent = chosen('add' in one ? one.to : one.of);
          if (parent === undefined) throw new Error('there is always one');
          const { series, plain } = parent;
          const added = 'add' in one ? Array.from({ length: one.add }, (_, index) => index) : [];
          all.push(
            'add' in one
              ? {
                  series: added.reduce((grown, item) => grown.with(item), series),
                  plain: [...plain, ...added],
                }
              : { series: series.without(one.cut), plain: plain.slice(one.cut) },
          );
        }
        for (const { series, plain } of all) {
          expect(series.slice()).toEqual(plain);
          expect(series.length).toBe(plain.length);
          expect([series.at(0), series.at(-1), series.at(3), series.at(plain.length)]).toEqual([
            plain.at(0),
            plain.at(-1),
            plain.at(3),
            undefined,
          ]);
          expect(series.slice(2, 5)).toEqual(plain.slice(2, 5));
          expect(series.slice(100, 600)).toEqual(plain.slice(100, 600));
        }
      }),
    );
  });
});
