/** The built-in supervisor, told wrong in one thing of its rig, is broken on the rule that names it. */
import { describe, expect, test } from 'vitest';
import { drillNamed } from './drills.ts';
import { builtIn } from './judged.ts';
import { MISTOLD } from './mistold.ts';
import { supervisedAs } from './supervised.ts';

describe('a supervisor whose plan', () => {
  test.each(MISTOLD)('$name breaks $breaks in $drill', ({ drill, breaks, also = [], believed }) => {
    const { broken } = supervisedAs(drillNamed(drill), believed);
    expect([...broken].sort()).toEqual([breaks, ...also].sort());
  });

  test('is right breaks nothing in the same runner, to the last margin', () => {
    const drill = drillNamed('short-leak');
    expect(supervisedAs(drill, (rig) => rig)).toEqual(builtIn(drill));
  });
});
