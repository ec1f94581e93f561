/** One serial port for as long as it is open: hands its bytes to a dialogue and sends what that answers. */
import { performance } from 'node:perf_hooks';
import { serialTimes } from '../../src/modbus/index.ts';
import type { SerialAddress } from '../../src/rig/index.ts';
import type { Taken, Tally } from './dialogue.ts';
import { lull } from './lull.ts';
import { type After, outlet } from './outlet.ts';
import { type RtuTimes, rtuDialogue } from './rtu-dialogue.ts';
import type { OpenPort } from './serial-port.ts';
import type { Serve } from './serve.ts';

export interface SerialCounts extends Tally {
  /** Times that the port went away while it was open. */
  unplugged: number;
  /** Answers for which there was no room, because nobody takes what was sent before. */
  unsent: number;
}

export interface SerialLineOptions {
  readonly address: SerialAddress;
  readonly serve: Serve;
  /** Times disturbed answers. */
  readonly after: After;
  /** What is added to the line's own times. */
  readonly slackMs: number;
  /** How often to look whether the port is still there. */
  readonly lookEveryMs: number;
}

/** A serial line cannot be told to wait. Sixteen of the longest frames: as much as a socket has under way. */
const UNSENT_BYTES_MAX = 4096;
const US_PER_MS = 1000;

/** Wires the port up, to live until it is closed; returns what closes it. */
export function converse(
  opened: OpenPort,
  options: SerialLineOptions,
  counts: SerialCounts,
): () => Promise<void> {
  const { port } = opened;
  const write = (bytes: Uint8Array): void => {
    if (!port.isOpen) return;
    if (port.writableLength + bytes.length > UNSENT_BYTES_MAX) counts.unsent += 1;
    else port.write(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length));
  };
  const out = outlet(options.after, write, () => undefined);
  const times = timesOf(options);
  const dialogue = rtuDialogue(options.serve, counts, out.emit, times);
  const heed = ({ reply, emissions, completed, halfFrame }: Taken): void => {
    if (halfFrame) quiet.restart();
    else quiet.stop();
    // A device hears the next request of its master, and gives up what it still has to say.
    if (completed) out.breakOff();
    if (reply !== undefined) out.reply(reply);
    for (const emission of emissions) out.emit(emission);
  };
  const quiet = lull(times.silenceUs / US_PER_MS, () => {
    heed(dialogue.silence());
  });
  const close = (): Promise<void> =>
    new Promise((settle) => {
      // It says so where it is closed already; that is what was wanted.
      port.close(() => {
        settle();
      });
    });
  const stopLooking = whenGone(opened, options.lookEveryMs, () => void close());
  port.on('data', (chunk: Buffer) => {
    heed(dialogue.take(chunk));
  });
  // A port that fails is no trouble of the bench: it is closed, and opened again like one that was unplugged.
  port.on('error', () => void close());
  port.once('close', () => {
    stopLooking();
    dialogue.end();
    out.stop();
    quiet.stop();
  });
  return close;
}

function timesOf({ address, slackMs }: SerialLineOptions): RtuTimes {
  const { gapUs, silenceUs } = serialTimes(address);
  const slackUs = slackMs * US_PER_MS;
  return {
    gapUs: gapUs + slackUs,
    silenceUs: silenceUs + slackUs,
    silenceMs: silenceUs / US_PER_MS,
    nowUs: () => performance.now() * US_PER_MS,
  };
}

/**
 * Calls when the port has gone. The package tells of one that is unplugged, but not when it was just about to
 * read: then it reads nothing, over and over, and busies a core with it.
 */
function whenGone({ isThere }: OpenPort, everyMs: number, call: () => void): () => void {
  const look = async (): Promise<void> => {
    if (!(await isThere())) call();
  };
  const looking = setInterval(() => void look(), everyMs);
  return () => {
    clearInterval(looking);
  };
}
