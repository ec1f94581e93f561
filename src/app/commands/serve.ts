/** `serve`, `sim` and `supervise`: the same bench with all of its parts, or one side of it. */
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import type { Logger } from 'pino';
import type { PollReport } from '../../../sim/poll-report/index.ts';
import { buildApi, ListenError, listenApi, type Tokens, tokensFrom } from '../../api/index.ts';
import { benchClock } from '../../clock/index.ts';
import { packageRoot } from '../../files/index.ts';
import { P } from '../../page/texts/index.ts';
import { RecordError } from '../../record/index.ts';
import type { Rig } from '../../rig/index.ts';
import { formatDuration } from '../../units/index.ts';
import { CAUTIONS } from '../cautions.ts';
import { durationOption } from '../duration-option.ts';
import { Failure } from '../failure.ts';
import { standardLog } from '../log.ts';
import type { ServeOptions, SimOptions } from '../options.ts';
import { packageVersion } from '../package-version.ts';
import { asStop, recordOrStop } from '../record-or-stop.ts';
import { busOption, rigOrStop } from '../rig-option.ts';
import { type Closers, type Part, startBench } from '../start-bench.ts';
import { EXIT, Stop } from '../stop.ts';
import { untilInterrupted } from '../until-interrupted.ts';

export function serve(rigFile: string | undefined, options: SimOptions): Promise<void> {
  return run('serve', rigFile, options);
}

export function sim(rigFile: string | undefined, options: SimOptions): Promise<void> {
  return run('sim', rigFile, options);
}

export function supervise(rigFile: string | undefined, options: ServeOptions): Promise<void> {
  // Nothing is drawn by chance where there are no sensors.
  return run('supervise', rigFile, { ...options, seed: 0 });
}

async function run(part: Part, rigFile: string | undefined, options: SimOptions): Promise<void> {
  const forMs = options.for === undefined ? null : durationOption('--for', options.for);
  const loaded = rigOrStop(rigFile);
  const bus = busOption(options.bus, loaded.rig);
  const given = tokensFrom(options.token);
  if (!given.ok) throw new Stop(EXIT.usage, given.problem);
  const { tokens } = given;
  const log = standardLog();
  if (part === 'supervise' && options.speed !== 1) warnOfSpeed(options.speed, loaded.rig, log);
  const failure = new Failure(log);
  failure.watch();
  const record = recordOrStop(options.data, loaded.rig.name, options.recordLimit);
  const clock = benchClock(options.speed);
  const closers: Closers = [
    () => {
      record.close();
    },
    () => {
      clock.stop();
    },
  ];
  try {
    const started = await startBench(part, loaded, options, bus, { record, clock, log, failure }, closers);
    const app = buildApi({
      port: started.bench,
      classroom: started.classroom,
      record,
      tokens,
      logger: log,
      pageFolder: join(packageRoot(), 'dist/page'),
      version: packageVersion(),
    });
    closers.push(() => app.close());
    const page = await listenOrStop(app, options.host, options.port, tokens);
    // Whoever reads that Ctrl-C ends it may press it at once.
    const end = untilInterrupted(forMs);
    tellStarted(part, loaded.rig.name, page, started.addresses, tokens);
    const ended = await Promise.race([end, failure.happened]);
    const polls = started.bench.pollReport();
    if (options.json === true) {
      process.stdout.write(`${JSON.stringify({ caution: CAUTIONS[0], ...polls }, null, 2)}\n`);
    } else if (forMs !== null && polls !== null) process.stdout.write(adviceText(polls));
    if (ended === 'interrupted') process.exitCode = EXIT.interrupted;
  } catch (error) {
    if (!failure.isOver) throw asStop(error);
    process.stderr.write(
      `leakbench ${part} ended on an error of its own: ${String(error)}\n${AFTER_FAILURE}\n`,
    );
  } finally {
    await closeAll(closers, failure, log);
  }
}

/** A bus elsewhere may be a real one, whose gas does not hurry. */
function warnOfSpeed(speed: number, { policy }: Rig, log: Logger): void {
  const real = formatDuration(policy.holdMs / speed);
  const said =
    `--speed ${speed} makes every time shorter by that much: the hold of ${formatDuration(policy.holdMs)} lasts ` +
    `${real} of real time. It is for leakbench sim at the same speed alone, never for real sensors or equipment.`;
  process.stderr.write(`warning: ${said}\n`);
  log.warn({ speed }, said);
}

/** What the page says of how the devices are asked, for whoever set a time and looks when it is over. */
function adviceText({ advice }: PollReport): string {
  const said = advice.length === 0 ? [P.noAdvice] : advice.map(({ text }) => text);
  return `${said.join('\n')}\n`;
}

const AFTER_FAILURE =
  'The supervisor has left the equipment safe where it could be reached, and the next start begins in the hold. ' +
  'Please report it with the lines above.';

/** What was opened last is closed first; the record outlives all who write to it. */
async function closeAll(closers: Closers, failure: Failure, log: Logger): Promise<void> {
  for (const close of closers.reverse()) {
    try {
      await close();
    } catch (error) {
      if (!(error instanceof RecordError)) failure.raise(error);
      else {
        log.error({ err: error }, 'the end could not be recorded; the next start begins in the hold');
        process.exitCode = EXIT.surroundings;
      }
    }
  }
  // Whatever broke may have left something open that would keep the process.
  if (failure.isOver) process.exit(EXIT.failed);
}

async function listenOrStop(
  app: FastifyInstance,
  host: string,
  port: number,
  tokens: Tokens,
): Promise<string> {
  try {
    return await listenApi(app, { host, port, tokens });
  } catch (error) {
    if (!(error instanceof ListenError)) throw error;
    throw new Stop(error.kind === 'tokenNeeded' ? EXIT.usage : EXIT.surroundings, error.message);
  }
}

function tellStarted(
  part: Part,
  rigName: string,
  page: string,
  lines: readonly string[],
  tokens: Tokens,
): void {
  const poll = part === 'supervise' ? 'polls' : 'listens: line';
  const said = [
    `leakbench ${part}: ${rigName}`,
    `  page ${page}`,
    ...(tokens.length === 0
      ? []
      : ['  the page asks for the token, or takes it from its address: ?token=TOKEN']),
    ...lines.map((line) => `  ${poll} ${line}`),
    `  ${CAUTIONS[0]}`,
    '  Ctrl-C ends it.',
  ];
  process.stderr.write(`${said.join('\n')}\n`);
}
