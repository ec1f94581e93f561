/** All that the command line takes, built anew each time. A verb's own code is loaded when it is called. */
import { existsSync } from 'node:fs';
import { Command, InvalidArgumentError, Option } from 'commander';
import { suggestion } from '../files/index.ts';
import type { DrillOptions } from './commands/drill.ts';
import type { ServeOptions, SimOptions } from './options.ts';
import { packageVersion } from './package-version.ts';
import { EXIT, Stop } from './stop.ts';
import { assignVerb } from './verbs/assign.ts';
import { budgetVerb } from './verbs/budget.ts';
import { completionVerbs } from './verbs/completion.ts';
import { figuresVerb } from './verbs/figures.ts';
import { given } from './verbs/given.ts';
import { BUS, collect } from './verbs/line-options.ts';
import { recordVerb } from './verbs/record.ts';
import { referenceVerb } from './verbs/reference.ts';
import { rosterVerb } from './verbs/roster.ts';
import { seekVerb } from './verbs/seek.ts';
import { surveyVerb } from './verbs/survey.ts';
import { seed, wholeNumber } from './verbs/whole-number.ts';

const PORT_DEFAULT = 7580;
const PORT_MAX = 65535;

export function commandLine(): Command {
  const program = new Command('leakbench')
    .description(
      'A bench for the A2L leak chain: virtual gas sensors on Modbus, a mitigation supervisor, faults on demand.\n' +
        'Simulation and training only: not a safety device, no proof of compliance.',
    )
    .version(packageVersion(), '-V, --version')
    .exitOverride()
    // `roster` and `roster replace` have options of one name: each takes what stands behind it.
    .enablePositionalOptions()
    .configureHelp({ showGlobalOptions: true });

  serveCommand(program);
  simCommand(program);
  superviseCommand(program);
  drillCommand(program);
  seekVerb(program);
  surveyVerb(program);
  assignVerb(program);
  budgetVerb(program);
  figuresVerb(program);
  rosterVerb(program);
  recordVerb(program);
  referenceVerb(program);
  checkCommand(program);
  completionVerbs(program);
  return program;
}

function serveCommand(program: Command): void {
  sensorOptions(httpOptions(program.command('serve [rig]', { isDefault: true })))
    .description(
      'the bench: virtual sensors on Modbus, the supervisor, the API and the page (default: the demo rig)',
    )
    .option('--bus <address>', `where a line listens: ${BUS}`, collect, [])
    .addHelpText('after', '\nExample:\n  leakbench serve my.rig.yaml --speed 10 --port 7580')
    .action(async (rig: string | undefined, options: SimOptions) => {
      mustBeRigOrVerb(rig, program);
      const { serve } = await import('./commands/serve.ts');
      await serve(rig, options);
    });
}

/** A word that is no path may have been meant as a verb: it came here because there is none of that name. */
function mustBeRigOrVerb(word: string | undefined, program: Command): void {
  if (word === undefined || existsSync(word) || /[./\\]/u.test(word)) return;
  const verbs = program
    .createHelp()
    .visibleCommands(program)
    .map((verb) => verb.name());
  throw new Stop(EXIT.usage, `"${word}" is neither a verb nor a rig file; ${suggestion(word, verbs)}`);
}

function simCommand(program: Command): void {
  sensorOptions(httpOptions(program.command('sim [rig]')))
    .description('the virtual sensors and field I/O alone, with API and page, for a controller elsewhere')
    .option('--bus <address>', `where a line listens: ${BUS}`, collect, [])
    .option('--controller-power <command>', 'run with "off" or "on" when the power of the controller is cut')
    .addHelpText(
      'after',
      '\nExample:\n  leakbench sim my.rig.yaml --bus tcp://127.0.0.1:1502 --for 60s --json',
    )
    .action(async (rig: string | undefined, options: SimOptions) => {
      const { sim } = await import('./commands/serve.ts');
      await sim(rig, options);
    });
}

function superviseCommand(program: Command): void {
  httpOptions(program.command('supervise [rig]'))
    .description('the supervisor alone, against a bus elsewhere')
    .requiredOption('--bus <address>', `the bus to poll: ${BUS}`, collect, [])
    .addHelpText(
      'after',
      '\nExample:\n  leakbench supervise my.rig.yaml --bus tcp://192.168.0.20:502 --port 7581',
    )
    .action(async (rig: string | undefined, options: ServeOptions) => {
      const { supervise } = await import('./commands/serve.ts');
      await supervise(rig, options);
    });
}

function drillCommand(program: Command): void {
  program
    .command('drill <file...>')
    .description('run drills, judge, report; in virtual time unless --live')
    .option('--rig <file>', 'the rig to run on, in the place of the drill’s own')
    .option('--live', 'over real sockets, at --speed')
    .option('--speed <n>', 'how many times real time with --live, 1 to 20', numberBetween(1, 20), 1)
    .option('--bus <address>', `where a line listens with --live: ${BUS}`, collect, [])
    .option('--controller <which>', 'builtin, external (with --live) or exec:COMMAND', 'builtin')
    .option('--controller-power <command>', 'run with "off" or "on" when the power of the controller is cut')
    .option('--wait <time>', 'real time in which an external controller must ask something', '2 min')
    .option('--seed <n>', 'seed of everything drawn by chance', seed, 1)
    .option('--json', 'one JSON document on standard output')
    .option('--junit <file>', 'write the verdict as JUnit XML too')
    .option('--html <file>', 'write the verdict as one page too, with pictures')
    .addHelpText('after', '\nExample:\n  leakbench drill my.drill.yaml --html verdict.html')
    .action(async (files: string[], options: DrillOptions, command: Command) => {
      refuseUseless(options, command);
      const { drill } = await import('./commands/drill.ts');
      await drill(files, options);
    });
}

/** What a drill over real sockets alone takes. */
const OF_LIVE = ['speed', 'bus', 'controllerPower'];

/** What would do nothing is not swallowed: who gave it counts on it. */
function refuseUseless({ live, controller }: DrillOptions, command: Command): void {
  if (controller !== 'external' && given(command, ['wait']).length > 0) {
    throw new Stop(
      EXIT.usage,
      'only an external controller is waited for: leave --wait out, or add --live --controller external',
    );
  }
  const useless = given(command, live === true ? [] : OF_LIVE);
  if (useless.length > 0) {
    throw new Stop(
      EXIT.usage,
      `in virtual time there is no clock, bus or power to set: add --live, or leave ${useless.join(', ')} out`,
    );
  }
  if (controller === 'builtin' && given(command, ['controllerPower']).length > 0) {
    throw new Stop(
      EXIT.usage,
      'the built-in supervisor is cut and powered without a command: leave --controller-power out, or add --controller external',
    );
  }
}

function checkCommand(program: Command): void {
  program
    .command('check <file...>')
    .description('validate rig, drill and profile files')
    .option('--json', 'one JSON document on standard output')
    .addHelpText('after', '\nExample:\n  leakbench check my.rig.yaml')
    .action(async (files: string[], options: { json?: true }) => {
      const { check } = await import('./commands/check.ts');
      check(files, options.json === true);
    });
}

/** Of a bench with sensors of its own. */
function sensorOptions(command: Command): Command {
  return command
    .option('--seed <n>', 'seed of everything drawn by chance', seed, 1)
    .option('--for <duration>', 'end after so much real time, such as 60s; exit code 0')
    .option('--json', 'at the end, what the controller asked as one JSON document on standard output');
}

function httpOptions(command: Command): Command {
  return command
    .option('--host <host>', 'where page and API listen', '127.0.0.1')
    .option(
      '--port <port>',
      'port of page and API; 0 lets the system choose',
      wholeNumber(0, PORT_MAX),
      PORT_DEFAULT,
    )
    .option('--speed <n>', 'how many times real time, 1 to 20', numberBetween(1, 20), 1)
    .option('--data <dir>', 'folder of the record', './.leakbench')
    .option('--record-limit <size>', 'what the record may hold; beyond it the oldest events go', '1GiB')
    .addOption(
      new Option('--token <token>', 'VALUE for the instructor, viewer:VALUE for a viewer; may be repeated')
        .env('LEAKBENCH_TOKEN')
        .argParser(collect)
        .default([], 'none'),
    );
}

function numberBetween(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (text.trim() !== '' && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`It takes a number, ${min} to ${max}.`);
  };
}
