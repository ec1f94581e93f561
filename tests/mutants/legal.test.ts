/** What is legal though different: none of it breaks a rule in any shipped drill. */
import { describe, expect, test } from 'vitest';
import { SHIPPED } from './drills.ts';
import { inLines } from './judged.ts';
import { LEGAL } from './legal.ts';
import { inProcess } from './variant.ts';

describe.each([...LEGAL])('a controller that %s', (_, variant) => {
  test.each([...SHIPPED])('breaks nothing in %s', async (__, drill) => {
    const { complaints } = await inLines(drill, inProcess(variant));
    expect(complaints).toEqual([]);
  });
});
