/** Several serial faces, each with a cable of its own and one who fuzzes at its other end. */
import { openSerialFace, type SerialFace } from '../../sim/wire/serial-face.ts';
import { type Fuzzer, serialFuzzer } from '../sim/wire/fuzz.ts';
import { smallDevice } from '../sim/wire/small-device.ts';
import { ptyPair } from './pty-pair.ts';
import { serialClient } from './serial-client.ts';

const SETTINGS = { kind: 'rtu', baud: 115_200, parity: 'none', stopBits: 2 } as const;
/** A pseudo-terminal hands bytes over at once: less than on the bench, so that a batch does not wait long. */
const SLACK_MS = 8;
/** What is safe beside the slack and the silence of the line. */
const QUIET_MS = 45;

export async function serialFuzzers(count: number): Promise<{
  readonly faces: readonly SerialFace[];
  readonly fuzzers: readonly Fuzzer[];
  readonly close: () => Promise<void>;
}> {
  const cables = await Promise.all(
    Array.from({ length: count }, async () => {
      const pair = await ptyPair();
      const [ours, theirs] = pair.paths;
      const address = { ...SETTINGS, path: ours };
      const face = await openSerialFace({ address, serve: smallDevice().serve, slackMs: SLACK_MS });
      return { pair, face, client: await serialClient(theirs, SETTINGS.baud) };
    }),
  );
  return {
    faces: cables.map(({ face }) => face),
    fuzzers: cables.map(({ client }) => serialFuzzer(client, QUIET_MS)),
    async close() {
      for (const { pair, face, client } of cables) {
        await Promise.all([face.close(), client.close()]);
        await pair.remove();
      }
    },
  };
}
