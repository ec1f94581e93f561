/**
 * A herd as a process: `process.ts PORT HEALTHY STALLED`. It says `open` when all are, is told the last
 * sequence on its standard input, and then writes its report as JSON.
 */
import { createInterface } from 'node:readline';
import { Herd } from './herd.ts';

const [port = 0, healthy = 0, stalled = 0] = process.argv.slice(2).map(Number);
const herd = new Herd();
await herd.open(port, healthy, stalled);
process.stdout.write('open\n');
const line = await new Promise<string>((resolve) => {
  createInterface({ input: process.stdin }).once('line', resolve);
});
const report = JSON.stringify(await herd.report(Number(line)));
process.stdout.write(`${report}\n`, () => process.exit(0));
