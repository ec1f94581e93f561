/** `drill FILE…`: runs drills, judges them, reports. */
import { existsSync } from 'node:fs';
import { type Drill, loadDrill, shippedFiles } from '../../../sim/drill/index.ts';
import { type FileProblem, formatProblem, suggestion } from '../../files/index.ts';
import type { Rig } from '../../rig/index.ts';
import { listed } from '../../text/words.ts';
import { formatDuration } from '../../units/index.ts';
import { type Controller, controllerOf } from '../controller-option.ts';
import { judgedRun, type RunBy } from '../drill/judged-run.ts';
import { runLive } from '../drill/live-run.ts';
import { type DrillRun, runBuiltIn } from '../drill/run.ts';
import { runCommand } from '../drill/run-command.ts';
import { durationOption } from '../duration-option.ts';
import { standardLog } from '../log.ts';
import { save, terminal } from '../output.ts';
import { reportHtml } from '../report/html.ts';
import { reportJson } from '../report/json.ts';
import { reportJunit } from '../report/junit.ts';
import { reportTerminal } from '../report/terminal.ts';
import type { DrillVerdict } from '../report/verdict.ts';
import { busOption, rigOrStop } from '../rig-option.ts';
import { badFile, EXIT, Stop } from '../stop.ts';

export interface DrillOptions {
  readonly rig?: string;
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
  const waitMs = durationOption('--wait', options.wait);
  const drills = drillsOrStop(files, options.rig);
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
function drillsOrStop(files: readonly string[], rigGiven: string | undefined): readonly Drill[] {
  const rig = rigGiven === undefined ? null : rigOrStop(rigGiven).rig;
  const loaded = files.map((file) => loadDrill(pathOf(file), rig));
  const found = loaded.flatMap((outcome) => (outcome.ok ? [] : outcome.problems));
  const problems = found.length > 0 && rig !== null ? [...found, namesOf(rig)] : found;
  if (problems.length > 0) throw badFile(problems);
  const warnings = loaded.flatMap((outcome) => (outcome.ok ? outcome.warnings.map(formatProblem) : []));
  for (const warning of new Set(warnings)) process.stderr.write(`warning: ${warning}\n`);
  return loaded.flatMap((outcome) => (outcome.ok ? [outcome.value] : []));
}

/** What a drill for another rig can be held against. */
function namesOf({ file, sensors, circuits }: Rig): FileProblem {
  const has = `sensors ${listed(sensors.map(({ id }) => id))}, circuits ${listed(circuits)}`;
  const message = `is the rig of --rig and has ${has}; a drill runs on it that calls them so`;
  return { file, line: 1, column: 1, message };
}

/** A shipped drill goes by its name alone, wherever the package lies; a file of that name comes first. */
function pathOf(file: string): string {
  if (existsSync(file)) return file;
  const shipped = shippedFiles();
  const path = shipped.get(file);
  if (path !== undefined || !/^[\w-]+$/u.test(file)) return path ?? file;
  const near = suggestion(file, [...shipped.keys()]);
  throw new Stop(EXIT.usage, `"${file}" is no file and no drill that comes with the bench; ${near}`);
}

function runBy({ rig, seed, controller, live, speed, bus, controllerPower }: DrillOptions): RunBy {
  const liveOptions = [
    ...(speed === 1 ? [] : ['--speed', String(speed)]),
    ...bus.flatMap((one) => ['--bus', one]),
    ...(controllerPower === undefined ? [] : ['--controller-power', controllerPower]),
  ];
  const host = live === true ? 'live' : 'virtual';
  return { seed, controller, host, liveOptions, ...(rig === undefined ? {} : { rigGiven: rig }) };
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
    log: standardLog(),
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
