/** What is said to a command that controls the rig, and what it may answer: one JSON line each way. */
import { z } from 'zod';
import { validate } from '../../files/index.ts';
import type { Commands } from '../../mitigation/index.ts';
import type { Rig } from '../../rig/index.ts';
import { judgedPolicy } from './judged-policy.ts';
import { PartnerError } from './line-process.ts';

/** The first line after each power-up. */
export function resetLine(rig: Rig): string {
  const { lines, sensors, heat } = rig;
  const { latchAfter, circuits, ...limits } = judgedPolicy(rig);
  return JSON.stringify({
    reset: true,
    pollEveryMs: pollEveryMs({ lines }),
    policy: {
      ...limits,
      latchTrips: latchAfter?.trips ?? null,
      latchWithinMs: latchAfter?.withinMs ?? null,
    },
    sensors: sensors.map((sensor) =>
      sensor.kind === 'contact'
        ? { id: sensor.id, kind: 'contact', contact: sensor.contact }
        : { id: sensor.id, kind: 'modbus', serial: sensor.serial ?? null },
    ),
    circuits,
    heat,
  });
}

/** One cycle for the whole rig: as often as its quickest line. */
export function pollEveryMs({ lines }: Pick<Rig, 'lines'>): number {
  return Math.min(...lines.map((line) => line.pollEveryMs));
}

const readySchema = z.looseObject({ ready: z.literal(true) });

export function checkReady(line: string): void {
  if (!validate(readySchema, parsed(line)).ok) {
    throw new PartnerError(`answered the plan with ${line.slice(0, 200)}; it takes {"ready":true}`);
  }
}

/** Checks an answer once and for all runs of a rig: its circuits are the keys of `compressors`. */
export function answerReader(circuits: readonly string[]): (line: string) => Commands {
  const on = z.boolean();
  const compressors = z.strictObject(Object.fromEntries(circuits.map((circuit) => [circuit, on])));
  const schema = z.looseObject({ fan: on, damper: on, heat: on, alarm: on, trouble: on, compressors });
  return (line) => {
    const checked = validate(schema, parsed(line));
    if (!checked.ok) {
      const [finding] = checked.findings;
      throw new PartnerError(`answered with what is no set of commands: ${finding?.message ?? line}`);
    }
    const { fan, damper, heat, alarm, trouble } = checked.value;
    const running = checked.value.compressors as Readonly<Record<string, boolean>>;
    return {
      fan,
      damper,
      heat,
      alarm,
      trouble,
      compressors: circuits.map((circuit) => running[circuit] === true),
    };
  };
}

function parsed(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    throw new PartnerError(`said a line that is not JSON: ${line.slice(0, 200)}`);
  }
}
