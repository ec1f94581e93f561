/** `drill FILE…`: runs drills, judges them, reports. */
import { existsSync } from 'node:fs';
import pino from 'pino';
import { type Drill, loadDrill, shippedFiles } from '../../../sim/drill/index.ts';
import { formatProblem } from '../../files/index.ts';
import { formatDuration } from '../../units/index.ts';
import { type Controller, controllerOf } from '../controller-option.ts';
import { judgedRun, type RunBy } from '../drill/judged-run.ts';
import { runLive } from '../drill/live-run.ts';
import { type DrillRun, runBuiltIn } from '../drill/run.ts';
import { runCommand } from '../drill/run-command.ts';
import { save, terminal } from '../output.ts';
import { reportHtml } from '../report/html.ts';
import { reportJson } from '../report/json.ts';
import { reportJunit } from '../report/junit.ts';
import { reportTerminal } from '../report/terminal.ts';
import type { DrillVerdict } from '../report/verdict.ts';
import { busOption } from '../rig-option.ts';
import { timeOption } from '../service/lines.ts';
import { badFile, EXIT } from '../stop.ts';

export interface DrillOptions {
  readonly live?: true;
  readonly speed: number;
  readonly bus: readonly string[];
  readonly controller: string;
  readonly controllerPower?: string;
  /** As written. */
  readonly wait: string;
  readonly seed: number;
  readonly json?: true;
  readonly junit?: string;
  readonly html?: string;
}

export async function drill(files: readonly string[], options: DrillOptions): Promise<void> {
  const controller = controllerOf(options);
  const waitMs = timeOption('--wait', options.wait);
  const drills = drillsOrStop(files);
  const interrupt = (): void => process.exit(EXIT.interrupted);
  process.once('SIGINT', interrupt).once('SIGTERM', interrupt);
  const verdicts: DrillVerdict[] = [];
  for (const one of drills) {
    verdicts.push(judgedRun(one, await runOf(one, controller, options, waitMs), runBy(options)));
  }
  await report(verdicts, options);
  if (verdicts.some(({ verdict }) => verdict === 'broken')) process.exitCode = EXIT.broken;
}

/** Every problem of every file at once; warnings of rigs go to standard error. */
function drillsOrStop(files: readonly string[]): readonly Drill[] {
  const loaded = files.map(pathOf).map(loadDrill);
  const problems = loaded.flatMap((outcome) => (outcome.ok ? [] : outcome.problems));
  if (problems.length > 0) throw badFile(problems);
  const warnings = loaded.flatMap((outcome) => (outcome.ok ? outcome.warnings.map(formatProblem) : []));
  for (const warning of new Set(warnings)) process.stderr.write(`warning: ${warning}\n`);
  return loaded.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
}

/** A shipped drill goes by its name alone, wherever the package lies; a file of that name comes first. */
function pathOf(file: string): string {
  return existsSync(file) ? file : (shippedFiles().get(file) ?? file);
}

function runBy({ seed, controller, live, speed, bus, controllerPower }: DrillOptions): RunBy {
  const liveOptions = [
    ...(speed === 1 ? [] : ['--speed', String(speed)]),
    ...bus.flatMap((one) => ['--bus', one]),
    ...(controllerPower === undefined ? [] : ['--controller-power', controllerPower]),
  ];
  return { seed, controller, host: live === true ? 'live' : 'virtual', liveOptions };
}

async function runOf(
  one: Drill,
  controller: Controller,
  options: DrillOptions,
  waitMs: number,
): Promise<DrillRun> {
  if (controller.kind === 'exec') return runCommand(one, controller.command, options.seed);
  if (options.live !== true) return runBuiltIn(one, options.seed);
  return runLive(one, {
    seed: options.seed,
    speed: options.speed,
    bus: busOption(options.bus, one.rig),
    controller: controller.kind,
    controllerPower: options.controllerPower,
    waitMs,
    log: pino({ level: process.env['LEAKBENCH_LOG'] ?? 'warn' }, pino.destination(2)),
    listening: (addresses) => {
      const where = addresses.map((address) => `  listens: line ${address}\n`).join('');
      const begins =
        controller.kind === 'external'
          ? `  time begins with the controller’s first request; waits ${formatDuration(waitMs)} for it\n`
          : '';
      process.stderr.write(`${one.name}: ${one.lengthMs / options.speed / 1000} s\n${where}${begins}`);
    },
  });
}

async function report(verdicts: readonly DrillVerdict[], options: DrillOptions): Promise<void> {
  if (options.junit !== undefined) save(options.junit, reportJunit(verdicts));
  if (options.html !== undefined) save(options.html, await reportHtml(verdicts));
  const text = options.json === true ? reportJson(verdicts) : reportTerminal(verdicts, terminal());
  process.stdout.write(text.endsWith('\n') ? text : `${text}\n`);
}
