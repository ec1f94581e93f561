/** What a command said last, line by line, however its words come. */
import { expect, test } from 'vitest';
import { LineProcess } from '../../../../src/app/drill/line-process.ts';

test('a line of its error output that comes in parts is one line, and one without an end is kept', async () => {
  const command =
    'printf "no such " >&2; sleep 0.3; printf "sensor\\nand the en" >&2; sleep 0.3; printf d >&2';
  const partner = new LineProcess(command, process.env, 5000);
  await expect(partner.exchange('{}')).rejects.toThrow('ended by itself with exit code 0');
  expect(partner.tail).toEqual(['no such sensor', 'and the end']);
});
