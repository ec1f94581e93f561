/** A cycle over Modbus: everything read, and every command written. */
import type { Request, Response } from '../../src/modbus/index.ts';
import type { Commands, Cycle, Plan, Told } from './plan.ts';

/** Answers a request to a unit; null for silence. */
export type Ask = (unit: number, request: Request) => Promise<Response | null>;

export interface Wiring {
  readonly plan: Plan;
  /** By sensor: the unit id of a Modbus sensor, the discrete input of a contact. */
  readonly at: Readonly<Record<string, number>>;
}

/** The field I/O and its map (contract of the bench): coils command, discrete inputs tell. */
const FIELD_IO = 200;
const FIRST_COMPRESSOR = 8;
const INPUTS: Request = { kind: 'read', functionCode: 2, address: 0, quantity: 24 };

/** The reference profile, from its state to the end of its serial. */
const SENSOR: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 19 };
const STATES = [undefined, 'warming-up', 'measuring', 'gas', 'failed'] as const;
const GAS_BIT = 1;
const SELF_TEST_PASSED_BIT = 2;
const NO_NUMBER = 65535;
const SERIAL_AT = 15;

const NOTHING: Omit<Cycle, 't' | 'sensors'> = {
  calls: { cooling: false, heating: false, fan: false },
  airflowProven: false,
  serviceReset: false,
  fire: false,
};

/** Asks everything once. `last` is the cycle before. */
export async function readCycle(
  { plan, at }: Wiring,
  ask: Ask,
  last: Cycle | null,
  now: () => number,
): Promise<Cycle> {
  const inputs = valuesOf(await ask(FIELD_IO, INPUTS));
  const sensors: Record<string, Told> = {};
  for (const { id, kind } of plan.sensors) {
    const place = at[id] ?? 0;
    if (kind === 'modbus') sensors[id] = toldBy(valuesOf(await ask(place, SENSOR)));
    else
      sensors[id] = inputs === null ? { answered: false } : { answered: true, closed: inputs[place] === 1 };
  }
  // Calls and fire stay as they were last heard; air that nobody proves is missing.
  const plant = inputs === null ? { ...(last ?? NOTHING), airflowProven: false } : plantOf(inputs);
  return { ...plant, t: now(), sensors };
}

/** Every coil in every cycle: the watchdog of the field I/O counts complete writes only. */
export async function write(commands: Commands, ask: Ask): Promise<void> {
  const { fan, damper, heat, trouble, alarm } = commands;
  const around = [0, [fan, damper, heat, trouble, alarm]] as const;
  const compressors = [FIRST_COMPRESSOR, Object.values(commands.compressors)] as const;
  // What stops goes before what starts: a cycle may end between the two.
  const runs = compressors[1].includes(true);
  for (const [address, values] of runs ? [around, compressors] : [compressors, around]) {
    await ask(FIELD_IO, {
      kind: 'writeMany',
      functionCode: 15,
      address,
      values: Uint16Array.from(values, Number),
    });
  }
}

function valuesOf(response: Response | null): ArrayLike<number> | null {
  return response?.kind === 'read' ? response.values : null;
}

function plantOf(inputs: ArrayLike<number>): Omit<Cycle, 't' | 'sensors'> {
  const [cooling, heating, fan, airflowProven, serviceReset, fire] = Array.from(inputs, (one) => one === 1);
  return {
    calls: { cooling: cooling === true, heating: heating === true, fan: fan === true },
    airflowProven: airflowProven === true,
    serviceReset: serviceReset === true,
    fire: fire === true,
  };
}

function toldBy(registers: ArrayLike<number> | null): Told {
  const words = registers === null ? [] : Array.from(registers);
  const [stateWord = 0, bits = 0, number = NO_NUMBER] = words;
  const state = STATES[stateWord];
  // A state that the profile does not know says nothing.
  if (state === undefined) return { answered: false };
  const letters = words.slice(SERIAL_AT).flatMap((word) => [word >> 8, word & 0xff]);
  return {
    answered: true,
    state,
    gasPercentLfl: number === NO_NUMBER ? null : number / 10,
    gasBit: (bits & GAS_BIT) !== 0,
    selfTestPassed: (bits & SELF_TEST_PASSED_BIT) !== 0,
    counter: words[10] ?? null,
    serial: String.fromCharCode(...letters.filter((letter) => letter !== 0)).trim(),
  };
}
