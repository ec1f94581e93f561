import { describe, expect, test } from 'vitest';
import { lampOf, powerDown } from '../../../sim/device/index.ts';
import { ms } from '../../../src/units/index.ts';
import { device, FACTS, fault, give, read } from './devices.ts';

type Situation = 'identify' | 'failed' | 'gas' | 'warming up' | 'service due' | 'no power';

/** The word beside the lamp of a sensor in all of these situations at once. */
function lampIn(...situations: readonly Situation[]): string {
  const one = device();
  const is = (situation: Situation): boolean => situations.includes(situation);
  give(one, is('failed') ? [fault('self-failed')] : []);
  if (is('warming up')) one.testingSinceMs = ms(98_000);
  if (is('identify')) one.identifyUntilMs = 100_001;
  if (is('no power')) powerDown(one, ms(99_000));
  const facts = { ...FACTS, serviceDaysLeft: is('service due') ? 0 : 100 };
  const now = ms(100_000);
  return lampOf(one, read(one, is('gas') ? 30 : 0, now, 0, facts), now).word;
}

describe('the lamp of a sensor', () => {
  test('is green while it measures, in the code of its profile', () => {
    const one = device();
    expect(lampOf(one, read(one, 3), ms(100_000))).toEqual({ colour: 'green', hz: 0, word: 'measuring' });
  });

  test.each<Situation>(['identify', 'failed', 'gas', 'warming up', 'service due', 'no power'])(
    'shows %s',
    (situation) => {
      expect(lampIn(situation)).toBe(situation);
    },
  );

  test('shows of two things the stronger: no power, identify, failed, warming up, gas, service due', () => {
    const strongestFirst: readonly Situation[] = [
      'no power',
      'identify',
      'failed',
      'warming up',
      'gas',
      'service due',
    ];
    strongestFirst.forEach((stronger, index) => {
      for (const weaker of strongestFirst.slice(index + 1))
        expect(lampIn(weaker, stronger), `${stronger} with ${weaker}`).toBe(stronger);
    });
  });

  test('stops identifying when its time is over', () => {
    const one = device();
    one.identifyUntilMs = 100_000;
    expect(lampOf(one, read(one, 0), ms(99_999)).word).toBe('identify');
    expect(lampOf(one, read(one, 0), ms(100_000)).word).toBe('measuring');
  });
});
