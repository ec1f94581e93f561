/** Rigs drawn by chance, as a budget must hold for. */
import type { Rig } from '../../../src/rig/index.ts';
import { type LineWanted, manySensors } from './rigs.ts';

export interface Drawn {
  readonly rig: Rig;
  readonly silent: number;
  /** Told where a check fails, so that the rig can be made again. */
  readonly said: string;
}

const BAUDS = [9600, 19_200, 38_400, 57_600, 115_200];
const PROFILES = ['reference', 'reference', 'holding-floats', 'bits-and-counts'];

/** One line with field I/O and sensors; the gateway gives up before its client. */
export function drawRig(draw: () => number, sensorsMax: number): Drawn {
  const between = (least: number, most: number): number => least + Math.floor(draw() * (most - least + 1));
  const gatewayMs = between(20, 250);
  const line: LineWanted = {
    sensors: between(1, sensorsMax),
    baud: BAUDS[between(0, BAUDS.length - 1)] ?? null,
    gatewayMs,
    timeoutMs: gatewayMs + between(100, 300),
    pollEveryMs: between(500, 3000),
    retries: between(0, 3),
    profile: PROFILES[between(0, PROFILES.length - 1)] ?? 'reference',
  };
  const silent = Math.min(between(0, 5), line.sensors - 1);
  const t90Ms = between(2000, 20_000);
  return {
    // Longer than any trial: a silence must not be what trips.
    rig: manySensors({ lines: [line], t90Ms, policy: '  silentAfter: 60 min' }),
    silent,
    said: JSON.stringify({ line, silent, t90Ms }),
  };
}

/**
 * The same without the promises that make a bound tight: two lines, a busy gateway, plain TCP, no patience.
 */
export function drawAnyRig(draw: () => number, sensorsMax: number): Drawn {
  const between = (least: number, most: number): number => least + Math.floor(draw() * (most - least + 1));
  const drawn = (least: number): LineWanted => ({
    sensors: between(least, sensorsMax),
    baud: [null, ...BAUDS][between(0, BAUDS.length)] ?? null,
    gatewayMs: between(20, 600),
    timeoutMs: between(150, 500),
    pollEveryMs: between(300, 3000),
    retries: between(0, 3),
    profile: PROFILES[between(0, PROFILES.length - 1)] ?? 'reference',
  });
  const lines = draw() < 0.5 ? [drawn(1)] : [drawn(0), drawn(1)];
  const silent = Math.min(between(0, 5), (lines.at(-1)?.sensors ?? 1) - 1);
  const silentAfter = draw() < 0.5 ? '60 min' : '5 s';
  const t90Ms = between(2000, 20_000);
  const policy = `  silentAfter: ${silentAfter}`;
  return {
    rig: manySensors({ lines, t90Ms, policy }),
    silent,
    said: JSON.stringify({ lines, silent, t90Ms, policy }),
  };
}
