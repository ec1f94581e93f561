/** `seek --worker`: works for searches on other machines until it is told to end. */
import { availableParallelism } from 'node:os';
import { virtualController } from '../controller-option.ts';
import { queueAddress } from '../seek/queue-address.ts';
import { atWork } from '../seek/queue-worker.ts';
import { EXIT, Stop } from '../stop.ts';
import { untilInterrupted } from '../until-interrupted.ts';

export interface SeekWorkerOptions {
  readonly queue?: string;
  readonly controller: string;
  readonly workers?: number;
}

const TELL_EVERY_MS = 10_000;

export async function seekWorker(options: SeekWorkerOptions): Promise<void> {
  if (options.queue === undefined) {
    throw new Stop(EXIT.usage, '--worker takes its orders from a queue: add --queue redis://HOST:6379');
  }
  const address = queueAddress(options.queue);
  const controller = virtualController(options);
  const threads = options.workers ?? availableParallelism();
  const interrupted = untilInterrupted();
  let gone: (reason: string) => void = () => undefined;
  const queueGone = new Promise<string>((resolve) => {
    gone = resolve;
  });
  const work = await atWork({
    ...{ address, threads, say, gone },
    command: controller.kind === 'exec' ? controller.command : null,
  });
  const counted = threads === 1 ? '1 thread' : `${threads} threads`;
  say(`A worker at ${address.shown}: ${counted}, controller ${options.controller}. Ctrl-C ends it.`);
  let told = 0;
  const timer = setInterval(() => {
    const { orders } = work.done();
    if (orders > told) say(`${orders} orders done.`);
    told = orders;
  }, TELL_EVERY_MS);
  const how = await Promise.race([interrupted, queueGone.then((reason) => ({ reason }))]);
  clearInterval(timer);
  const isGone = typeof how === 'object';
  if (!isGone) say('Ends with what is under way; Ctrl-C again ends at once.');
  await work.end(isGone);
  const { orders, searches } = work.done();
  say(`Ended: ${orders} orders done for ${searches === 1 ? '1 search' : `${searches} searches`}.`);
  if (isGone) throw new Stop(EXIT.surroundings, `the queue at ${address.shown} is gone: ${how.reason}`);
  process.exitCode = EXIT.interrupted;
}

function say(sentence: string): void {
  process.stderr.write(`${sentence}\n`);
}
