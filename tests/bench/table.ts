/**
 * Begins and ends a run of the benches: the figures as one table, as tests/.tmp/figures/bench.json, and with
 * KEEP_FIGURES=yes in DEVELOPERS.md, between its two marks.
 */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, totalmem } from 'node:os';
import { join } from 'node:path';
import { packageRoot } from '../../src/files/index.ts';
import { FIGURES_FOLDER, FIGURES_SO_FAR, type Figure, figuresSoFar } from './figures.ts';

const BYTES_PER_GIB = 2 ** 30;
const MARKS = ['<!-- figures of npm run bench -->', '<!-- end of the figures -->'] as const;
const HEAD = ['measured', 'median', 'beside', 'ratio', 'aim', 'rounds'];

interface Machine {
  readonly date: string;
  readonly processor: string;
  readonly cores: number;
  readonly memoryGiB: number;
  readonly node: string;
  readonly system: string;
  /** What waited for a core in the minute before: above nothing, the machine was not ours alone. */
  readonly loadBefore: number;
}

export function setup(): () => void {
  rmSync(FIGURES_FOLDER, { recursive: true, force: true });
  mkdirSync(FIGURES_FOLDER, { recursive: true });
  writeFileSync(FIGURES_SO_FAR, '');
  const machine = machineNow();
  return () => {
    const figures = figuresSoFar();
    if (figures.length === 0) return;
    const file = join(FIGURES_FOLDER, 'bench.json');
    writeFileSync(file, `${JSON.stringify({ machine, figures }, null, 2)}\n`);
    const table = tableOf(machine, figures);
    process.stdout.write(`\n${table}\n${file}\n`);
    if (process.env['KEEP_FIGURES'] === 'yes') keepInDevelopers(table);
  };
}

function machineNow(): Machine {
  const all = cpus();
  return {
    date: new Date().toISOString().slice(0, 10),
    processor: all[0]?.model.trim() ?? 'unknown',
    cores: all.length,
    memoryGiB: Math.round(totalmem() / BYTES_PER_GIB),
    node: process.version,
    system: `${process.platform} ${process.arch}`,
    loadBefore: Math.round((loadavg()[0] ?? Number.NaN) * 10) / 10,
  };
}

/** Markdown in columns of one width, which reads as text too. */
export function tableOf(machine: Machine, figures: readonly Figure[]): string {
  const { date, processor, cores, memoryGiB, node, system, loadBefore } = machine;
  const cells = [HEAD, ...figures.map(cellsOf)];
  const widths = HEAD.map((_, column) => Math.max(...cells.map((row) => row[column]?.length ?? 0)));
  const line = (row: readonly string[]): string =>
    `| ${row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join(' | ')} |`;
  const [head = [], ...rows] = cells;
  return [
    `${date}: ${cores} cores (${processor}), ${memoryGiB} GiB, Node ${node}, ${system}; load before ${loadBefore}.`,
    '',
    line(head),
    line(widths.map((width) => '-'.repeat(width))),
    ...rows.map(line),
  ].join('\n');
}

function cellsOf({ what, median, unit, rounds, beside, aim }: Figure): readonly string[] {
  const besides = beside === null ? ['', ''] : [beside.peer, shortly(beside.ratio)];
  return [what, `${shortly(median)} ${unit}`, ...besides, aim ?? '', String(rounds)];
}

/** Three digits tell what a median of a few rounds can tell. */
function shortly(value: number): string {
  return Number(value.toPrecision(3)).toLocaleString('en');
}

/** Puts the table in the place of the one that was kept before. */
export function withTable(text: string, table: string): string {
  const [begins, ends] = MARKS;
  const [from, to] = [text.indexOf(begins), text.indexOf(ends)];
  if (from < 0 || to < from) throw new Error(`DEVELOPERS.md lacks ${begins} and, after it, ${ends}`);
  return `${text.slice(0, from + begins.length)}\n\n${table}\n\n${text.slice(to)}`;
}

function keepInDevelopers(table: string): void {
  const file = join(packageRoot(), 'DEVELOPERS.md');
  writeFileSync(file, withTable(readFileSync(file, 'utf8'), table));
}
