/** The README followed to the letter: its commands at the ports that it shows, in a network of their own. */
import { expect, test } from 'vitest';
import { follow } from '../helpers/documents/follow.ts';
import { HAS_OWN_NETWORK } from '../helpers/documents/place.ts';

test.skipIf(!HAS_OWN_NETWORK)('a newcomer can follow it', async () => {
  expect(await follow('README.md')).toBeGreaterThan(8);
});
