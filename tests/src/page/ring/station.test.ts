import { h } from 'preact';
import { render } from 'preact-render-to-string';
import { expect, it } from 'vitest';
import { createLights } from '../../../../src/page/data/lights.ts';
import type { Store } from '../../../../src/page/data/store.ts';
import { StoreContext } from '../../../../src/page/parts/use-store.ts';
import { Station } from '../../../../src/page/ring/station.tsx';

/** A station asks the store for its lights alone. */
function stationWith(lit: readonly ('gas' | 'wire')[]): string {
  const lights = createLights();
  lights.light(lit);
  const station = h(Station, { id: 'wire', children: null });
  return render(h(StoreContext.Provider, { value: lights as Store, children: station }));
}

it('points at a station that is lit, in a word as well, and at no other', () => {
  expect(stationWith(['wire'])).toMatch(/data-lit="true".*here/u);
  expect(stationWith(['gas'])).toContain('data-lit="false"');
  expect(stationWith(['gas'])).not.toContain('here');
});
