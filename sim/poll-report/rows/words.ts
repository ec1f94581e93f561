/** Pieces of the sentences that advice is made of. */
import { addressText, type Line } from '../../../src/rig/index.ts';
import type { Table } from '../../../src/sensor/index.ts';
import { codeText } from '../../../src/text/words.ts';
import type { RangeReport } from '../report.ts';
import { tableOf } from '../request-of.ts';
import type { SeenUnit } from './seen.ts';

const ONE: Readonly<Record<Table, string>> = {
  discrete: 'discrete input',
  coil: 'coil',
  input: 'register',
  holding: 'register',
};

/** "coil-a (unit 11 on line main)", "unit 13 on line main". */
export function nameOf({ line, unit, planned }: SeenUnit): string {
  const where = `unit ${unit.unitId} on line ${line.id}`;
  return planned === undefined ? where : `${planned.who} (${where})`;
}

/** The beginning of a sentence. */
export function capital(text: string): string {
  return text.startsWith('the ') || text.startsWith('unit ')
    ? text.slice(0, 1).toUpperCase() + text.slice(1)
    : text;
}

/** "registers 1 to 8 (function 04)", "register 33 (function 03)". */
export function rangeText(range: Pick<RangeReport, 'functionCode' | 'address' | 'quantity'>): string {
  const { functionCode, address, quantity } = range;
  return `${placesText(functionCode, address, quantity)} (function ${codeText(functionCode)})`;
}

export function placesText(functionCode: number, address: number, quantity: number): string {
  const one = ONE[tableOf(functionCode) ?? 'holding'];
  return quantity === 1 ? `${one} ${address}` : `${one}s ${address} to ${address + quantity - 1}`;
}

export function timesText(times: number): string {
  return times === 1 ? 'once' : `${times} times`;
}

/** "never", "hardly ever (2 of 174 requests)": beside what is asked for in its place. */
export function hardlyText(requests: number, than: Pick<RangeReport, 'requests'>): string {
  return requests === 0 ? 'never' : `hardly ever (${requests} of ${requests + than.requests} requests)`;
}

/** Where a line is, for whoever must set the other side to the same. */
export function facesText({ listen }: Pick<Line, 'listen'>): string {
  return listen.map(addressText).join(', ');
}
