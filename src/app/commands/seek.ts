/** `seek RIG`: random fault sequences against a controller; what breaks a rule is written as a drill. */
import { accessSync, constants, mkdirSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { search } from '../../../sim/seek/index.ts';
import { messageOf } from '../../text/message-of.ts';
import { virtualController } from '../controller-option.ts';
import { durationOption } from '../duration-option.ts';
import { save, terminal } from '../output.ts';
import { rigOrStop } from '../rig-option.ts';
import type { Setup } from '../seek/carry-out.ts';
import { drillFileName, drillFileText, unsteadyFileText } from '../seek/drill-file.ts';
import { Ending } from '../seek/ending.ts';
import { threads, type Workforce } from '../seek/executors.ts';
import { packed } from '../seek/packed-rig.ts';
import { seekProgress } from '../seek/progress.ts';
import { type SeekResult, seekJson, seekText } from '../seek/report.ts';
import { EXIT, Stop } from '../stop.ts';

export interface SeekOptions {
  readonly controller: string;
  readonly runs?: number;
  readonly for?: string;
  readonly findings?: number;
  readonly pairwise?: true;
  readonly seed: number;
  readonly workers?: number;
  readonly queue?: string;
  readonly out: string;
  readonly json?: true;
}

/** Where neither a time nor a number is given. */
const FOR_DEFAULT_MS = 60_000;

export async function seek(rigFile: string | undefined, options: SeekOptions): Promise<void> {
  const controller = virtualController(options);
  const forMs = limitOf(options);
  const { rig } = rigOrStop(rigFile);
  makeFolder(options.out);
  const setup: Setup = {
    rig: packed(rig),
    command: controller.kind === 'exec' ? controller.command : null,
  };
  const ending = new Ending(forMs);
  const { seconds } = ending;
  const progress = seekProgress(seconds);
  const say = (sentence: string): void => {
    progress.end();
    process.stderr.write(`${sentence}\n`);
  };
  let force: Workforce | undefined;
  try {
    force = await forceOf(setup, options, ending, say);
    const sought = await search(force.executor, {
      rig,
      seed: options.seed,
      runs: options.runs ?? Number.POSITIVE_INFINITY,
      pairwise: options.pairwise === true,
      findingsMax: options.findings ?? Number.POSITIVE_INFINITY,
      goOn: ending.goOn,
      progress: progress.tell,
    });
    progress.end();
    if (ending.lost !== null && sought.coverage.drills === 0) throw new Stop(EXIT.surroundings, ending.lost);
    const files = sought.findings.map((one) => {
      const file = join(options.out, drillFileName(one));
      save(file, drillFileText(one, rig.file, options.out, options.controller));
      return file;
    });
    const unsteadyFile = unsteadyFileOf(sought.unsteady, rig.file, options);
    report(
      {
        ...sought,
        ...{ files, unsteadyFile, interrupted: ending.early, rigFile: rig.file },
        ...{ controller: options.controller, seed: options.seed, seconds: seconds() },
      },
      options,
    );
    if (ending.lost !== null) throw new Stop(EXIT.surroundings, ending.lost);
  } finally {
    progress.end();
    ending.close();
    await force?.close();
  }
}

/** Threads of this machine, or whoever takes orders from the queue. */
async function forceOf(
  setup: Setup,
  { queue, workers, controller }: SeekOptions,
  ending: Ending,
  say: (sentence: string) => void,
): Promise<Workforce> {
  if (queue === undefined) return threads(setup, workers ?? availableParallelism());
  if (workers !== undefined) {
    throw new Stop(
      EXIT.usage,
      '--workers is for the machine that does the work: give it with --worker, or leave --queue out',
    );
  }
  const { queueAddress } = await import('../seek/queue-address.ts');
  const address = queueAddress(queue);
  const { queued } = await import('../seek/queue.ts');
  const { ended, interrupted, lose } = ending;
  return queued(setup, { address, controller, ended, interrupted, say, lost: lose });
}

/** A pairwise search ends by itself; any other needs an end. */
function limitOf(options: SeekOptions): number {
  if (options.for !== undefined) return durationOption('--for', options.for);
  return options.runs === undefined && options.pairwise !== true ? FOR_DEFAULT_MS : Number.POSITIVE_INFINITY;
}

function unsteadyFileOf(
  unsteady: SeekResult['unsteady'],
  rigFile: string,
  { out, seed }: SeekOptions,
): string | null {
  if (unsteady === null) return null;
  const file = join(out, `not-the-same-twice-seed-${seed}.drill.yaml`);
  save(file, unsteadyFileText(unsteady, rigFile, out));
  return file;
}

/** Before anything is sought: what is found after hours must have somewhere to go. */
function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
    accessSync(folder, constants.W_OK);
  } catch (error) {
    const reason = messageOf(error);
    throw new Stop(
      EXIT.surroundings,
      `--out ${folder}: nothing can be written there (${reason}); name another folder`,
    );
  }
}

function report(result: SeekResult, { json }: SeekOptions): void {
  process.stdout.write(json === true ? seekJson(result) : seekText(result, terminal()));
  const broke = result.findings.length > 0 || result.unsteady !== null;
  process.exitCode = result.interrupted ? EXIT.interrupted : broke ? EXIT.broken : EXIT.held;
}
