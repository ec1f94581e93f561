#!/usr/bin/env node
/** Runs the command line, and turns whatever ends it into words and an exit code. */
import { CommanderError } from 'commander';
import { commandLine } from './command-line.ts';
import { outliveOutput } from './output.ts';
import { EXIT, Stop } from './stop.ts';

outliveOutput();

try {
  await commandLine().parseAsync();
} catch (error) {
  if (error instanceof Stop) {
    process.stderr.write(`${error.message}\n`);
    process.exitCode = error.exitCode;
  } else if (error instanceof CommanderError) {
    // Commander has printed help or the problem already; only the code is ours.
    process.exitCode = error.exitCode === 0 ? EXIT.held : EXIT.usage;
  } else throw error;
}
