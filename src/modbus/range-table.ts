/**
 * Tables made of ranges: the usual way for a device to hold its bits and registers.
 *
 * The map runs from the first address of the lowest range to the last of the highest. Addresses between
 * ranges are inside the map, reserved: they read 0, and what is written there is taken and forgotten, so that
 * one request can span a gap. Addresses before and after the map get exception 02.
 */
import type { ReadableTable, WritableTable } from './data-model.ts';
import type { ExceptionCode } from './exceptions.ts';

/** Values from address `first` on; the owner of the array changes them in place. Bits are 0 or 1. */
export interface Range {
  readonly first: number;
  readonly values: Uint8Array | Uint16Array;
}

/** How a device takes writes; reserved addresses never come here. */
export interface WriteHooks {
  /** The exception for a value the device does not take; asked for all of a request, before any is stored. */
  refuses(address: number, value: number): ExceptionCode | undefined;
  /** Told after the value was stored in its range. */
  written(address: number, value: number): void;
}

/** A read-only table. Throws RangeError on no ranges, an empty one, overlap, or an end past 65535. */
export function readableTable(ranges: readonly Range[]): ReadableTable {
  const sorted = inOrder(ranges);
  const [first, end] = limitsOf(sorted);
  return {
    covers: (address, quantity) => address >= first && address + quantity <= end,
    read: (address) => {
      const range = rangeAt(sorted, address);
      // A reserved address has no range.
      return range?.values[address - range.first] ?? 0;
    },
  };
}

/** A table that stores writes in its ranges, after asking the device. Throws as `readableTable` does. */
export function writableTable(ranges: readonly Range[], hooks: WriteHooks): WritableTable {
  const sorted = inOrder(ranges);
  return {
    ...readableTable(sorted),
    refuses: (address, value) =>
      rangeAt(sorted, address) === undefined ? undefined : hooks.refuses(address, value),
    write: (address, value) => {
      const range = rangeAt(sorted, address);
      if (range === undefined) return;
      range.values[address - range.first] = value;
      hooks.written(address, value);
    },
  };
}

/** A device has a handful of ranges, so walking them beats any index. */
function rangeAt(ranges: readonly Range[], address: number): Range | undefined {
  for (const range of ranges) {
    if (address >= range.first && address < range.first + range.values.length) return range;
  }
  return undefined;
}

/** Addresses that 16 bits can name (MB-APP 4.4). */
const ADDRESSES = 0x10000;

function inOrder(ranges: readonly Range[]): readonly Range[] {
  const sorted = ranges.toSorted((one, other) => one.first - other.first);
  let free = 0;
  for (const { first, values } of sorted) {
    const end = first + values.length;
    if (!Number.isInteger(first) || first < free || values.length === 0 || end > ADDRESSES) {
      throw new RangeError(`range of ${values.length} from ${first}`);
    }
    free = end;
  }
  return sorted;
}

/** The first address of the map, and the first one past it. */
function limitsOf(sorted: readonly Range[]): readonly [number, number] {
  const lowest = sorted.at(0);
  const highest = sorted.at(-1);
  if (lowest === undefined || highest === undefined) throw new RangeError('a table needs a range');
  return [lowest.first, highest.first + highest.values.length];
}
