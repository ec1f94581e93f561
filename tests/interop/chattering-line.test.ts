/** A serial line on which another process never stops sending, asked as a survey asks. */
import { spawn } from 'node:child_process';
import { expect, test } from 'vitest';
import { serialLine } from '../../src/line/serial-line.ts';
import { encodeRtu } from '../../src/modbus/index.ts';
import type { SerialAddress } from '../../src/rig/index.ts';
import { exchangeOn } from '../../src/survey/index.ts';
import { unitId } from '../../src/units/index.ts';
import { ptyPair } from '../helpers/pty-pair.ts';
import { requireTool } from './outside-tools.ts';

const UNIT = unitId(9);
const READ = { kind: 'read', functionCode: 4, address: 0, quantity: 1 } as const;
const PATIENT_MS = 5000;
const TIMEOUT_MS = 50;
const UNQUIET = { kind: 'mismatched', field: 'quiet' };
/** Slow, so that its silence of 128 ms is longer than any hold-up of who chatters. */
const BAUD = 300;
const CHATTER = 'while :; do printf U; sleep 0.01; done > "$0"';

test('a line that begins to chatter after an answer carries no question, and is lost at the third', async (context) => {
  await requireTool(context, 'socat');
  const { onTestFinished } = context;
  const pair = await ptyPair();
  onTestFinished(() => pair.remove());
  const [here, there] = pair.paths.map(
    (path): SerialAddress => ({ kind: 'rtu', path, baud: BAUD, parity: 'even', stopBits: 1 }),
  );
  if (here === undefined || there === undefined) throw new Error('a pair has two ends');
  let asked = 0;
  const device = await serialLine(there)({
    heard() {
      asked += 1;
      device.write(encodeRtu(UNIT, Uint8Array.of(4, 2, 0, 7)));
    },
    ended: () => undefined,
  });
  const exchange = exchangeOn(here);
  onTestFinished(() => {
    exchange.close();
    device.close();
  });
  expect((await exchange.ask(UNIT, READ, PATIENT_MS)).kind).toBe('answered');
  const chatter = spawn('sh', ['-c', CHATTER, there.path], { stdio: ['ignore', 'ignore', 'inherit'] });
  onTestFinished(() => void chatter.kill());
  const ask = () => exchange.ask(UNIT, READ, TIMEOUT_MS);
  // Before the first of it has come through, the line is as it was.
  await expect.poll(ask, { timeout: PATIENT_MS }).toEqual(UNQUIET);
  const askedBefore = asked;
  expect(await ask()).toEqual(UNQUIET);
  expect(await ask()).toMatchObject({
    kind: 'lost',
    reason: expect.stringContaining('never falls quiet') as string,
  });
  expect(asked).toBe(askedBefore);
});
