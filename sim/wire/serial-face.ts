/**
 * RTU on a serial port: all devices of one line, to whoever asks on it.
 *
 * Nobody connects here, so nothing can be hung up: an answer that a fault cuts goes out cut. A sound answer
 * goes out as soon as its request is whole; by the time a process sees the last byte of a request, the driver
 * has already let the silence pass that the line wants between the two.
 */
import type { SerialAddress } from '../../src/rig/index.ts';
import { zeroTally } from './dialogue.ts';
import type { Face } from './face.ts';
import { type After, inRealTime } from './outlet.ts';
import { converse, type SerialCounts } from './serial-line.ts';
import { type LoadSerial, type OpenPort, openSerialPort } from './serial-port.ts';
import type { Serve } from './serve.ts';

export interface SerialFaceOptions {
  readonly address: SerialAddress;
  readonly serve: Serve;
  /** Times disturbed answers; left out: in real time. */
  readonly after?: After;
  /** What is added to the line's own times; left out: what suits any driver. */
  readonly slackMs?: number;
  /** How often to look whether the port is there; left out: every few seconds. */
  readonly lookEveryMs?: number;
  readonly load?: LoadSerial;
}

export interface SerialFace extends Face<SerialCounts> {
  readonly address: SerialAddress;
}

/**
 * An operating system hands bytes over in batches: an adapter collects them for up to 16 ms before it tells
 * (common practice, no source), and this process may be busy then. A frame in two such pieces must not be
 * taken for two; a client that got no answer waits longer than this before it asks anew.
 */
const SLACK_MS = 20;
/** Soon enough for a person who plugs it in again, and seldom enough to cost nothing. */
const LOOK_EVERY_MS = 2000;

/** Rejects with SerialMissing or SerialUnusable. A port that goes away later is reopened once it is back. */
export async function openSerialFace(options: SerialFaceOptions): Promise<SerialFace> {
  const { address, load } = options;
  const lineOptions = { after: inRealTime, slackMs: SLACK_MS, lookEveryMs: LOOK_EVERY_MS, ...options };
  const counts: SerialCounts = { ...zeroTally(), unplugged: 0, unsent: 0 };
  let closed = false;
  let retry: NodeJS.Timeout | undefined;
  let opening: Promise<void> | undefined;
  let closeLine: (() => Promise<void>) | undefined;

  const begin = (opened: OpenPort): void => {
    closeLine = converse(opened, lineOptions, counts);
    opened.port.once('close', () => {
      closeLine = undefined;
      if (closed) return;
      counts.unplugged += 1;
      reopenLater();
    });
  };
  const reopenLater = (): void => {
    retry = setTimeout(() => {
      opening = reopen();
    }, lineOptions.lookEveryMs);
  };
  const reopen = async (): Promise<void> => {
    // Not there yet, whatever the reason: somebody may plug it in, or let it go, at any time.
    const opened = await openSerialPort(address, load).catch(() => undefined);
    if (opened !== undefined) begin(opened);
    else if (!closed) reopenLater();
  };

  begin(await openSerialPort(address, load));
  return {
    address,
    stats: () => ({ ...counts }),
    async close() {
      closed = true;
      clearTimeout(retry);
      await opening;
      await closeLine?.();
    },
  };
}
