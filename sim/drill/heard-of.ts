/**
 * What the answer to a read says of a sensor or contact, decoded by the profile of the planned one, whoever
 * answered: that is all that a controller could know.
 */
import type { ContactSensor, ModbusSensor } from '../../src/rig/index.ts';
import {
  READ_FUNCTIONS,
  type ReadBlock,
  type SensorAnswer,
  type SensorCodec,
  TABLES,
  type Table,
} from '../../src/sensor/index.ts';
import type { Answer } from '../judge/trace.ts';
import { type AskingRequest, readFunctionOf } from './read-of.ts';

export interface Listened {
  readonly plan: ModbusSensor | ContactSensor;
  /** Fields of earlier reads, where a controller asks for a few registers at a time. */
  known: SensorAnswer | null;
}

const READ_BITS = 2;

/** Whether a read at its address brings something of it. */
export function concerns(read: AskingRequest, { plan }: Listened): boolean {
  // Bits are a sensor's only where its profile puts a point there.
  if (plan.kind === 'modbus') {
    const table = tableOf(read);
    return table === 'input' || table === 'holding' || plan.codec.reads.some((one) => one.table === table);
  }
  const { address, quantity } = read;
  return read.functionCode === READ_BITS && plan.input >= address && plan.input < address + quantity;
}

function tableOf(read: AskingRequest): Table {
  const code = readFunctionOf(read);
  const table = TABLES.find((one) => READ_FUNCTIONS[one] === code);
  if (table === undefined) throw new RangeError(`function ${read.functionCode} reads no table`);
  return table;
}

/** What a read said of it; null where nobody can tell from what has been read so far. */
export function answerOf(
  kept: Listened,
  read: AskingRequest,
  values: ArrayLike<number>,
  atMs: number,
): Answer | null {
  const { plan } = kept;
  if (plan.kind === 'contact') {
    const closed = values[plan.input - read.address] === 1;
    const gas = closed === (plan.contact === 'closes-on-gas');
    const state = gas ? 'gas' : 'measuring';
    return {
      atMs,
      state,
      gasBit: gas,
      selfTestPassed: true,
      gasPercentLfl: undefined,
      counter: undefined,
      serial: undefined,
    };
  }
  const block = { table: tableOf(read), address: read.address, quantity: read.quantity };
  const words = plan.codec.decode(block, values);
  const before = kept.known === null ? undefined : plan.codec.stateOf(kept.known);
  const merged: SensorAnswer = bringsAll(block, plan.codec) ? words : { ...kept.known, ...words };
  const state = plan.codec.stateOf(merged);
  // A new state makes an older number void: bits and number come in two reads, and it would contradict them.
  const isVoid = before !== undefined && before !== state && words.gasPercentLfl === undefined;
  const known = isVoid ? { ...merged, gasPercentLfl: undefined } : merged;
  kept.known = known;
  // Where only a number was ever read, nobody can say what state the sensor was in.
  if (state === undefined) return null;
  return {
    atMs,
    state,
    gasBit: known.gasBit === true,
    selfTestPassed: known.selfTestPassed ?? state === 'measuring',
    gasPercentLfl: known.gasPercentLfl,
    counter: known.counter ?? undefined,
    serial: known.serial,
  };
}

/** Of what was read before, such a read leaves nothing. */
function bringsAll({ table, address, quantity }: ReadBlock, { reads }: SensorCodec): boolean {
  const [whole] = reads;
  if (reads.length !== 1 || whole?.table !== table) return false;
  return address <= whole.address && address + quantity >= whole.address + whole.quantity;
}
