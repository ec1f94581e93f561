/** What must go one after the other does, and a failure is nobody else's. */
import { expect, test } from 'vitest';
import { Turns } from '../../../src/app/turns.ts';

test('takes each when the one before is over, and goes on after one that failed', async () => {
  const turns = new Turns();
  const order: string[] = [];
  const work = (name: string) => async (): Promise<string> => {
    order.push(`${name} begins`);
    await new Promise((resolve) => setImmediate(resolve));
    order.push(`${name} ends`);
    if (name === 'second') throw new Error('the second failed');
    return name;
  };
  const taken = ['first', 'second', 'third'].map((name) => turns.take(work(name)));
  const results = Promise.allSettled(taken);
  void taken[2]?.then(() => turns.take(work('fourth')));
  await turns.over();
  const names = ['first', 'second', 'third', 'fourth'];
  expect(order).toEqual(names.flatMap((name) => [`${name} begins`, `${name} ends`]));
  expect((await results).map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
});
