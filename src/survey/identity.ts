/** What a device says it is, by function 2B/0E (MB-APP 6.21). Many a device does not speak it. */
import { type DeviceObject, INDIVIDUAL, type ReadCode, type Request } from '../modbus/index.ts';
import type { UnitId } from '../units/index.ts';
import { type Asking, ask } from './asking.ts';
import { isPrintable } from './plausible.ts';

/** Empty where the device does not say. */
export interface Identity {
  readonly maker: string;
  readonly product: string;
  readonly revision: string;
  readonly model: string;
  /** The first private object; our own devices, and some others, have their serial there. */
  readonly own: string;
}

const MAKER = 0x00;
const PRODUCT_CODE = 0x01;
const REVISION = 0x02;
const PRODUCT_NAME = 0x04;
const MODEL = 0x05;
const PRIVATE_FIRST = 0x80;
const BASIC: ReadCode = 1;
const REGULAR: ReadCode = 2;
/** As many parts as a stream of the 128 regular objects could need, were each answer to hold a few. */
const PARTS_MAX = 32;

/** null where it does not answer such a request with any text. */
export function* readIdentity(unitId: UnitId): Asking<Identity | null> {
  let texts = yield* readStream(unitId, REGULAR);
  if (texts.size === 0) texts = yield* readStream(unitId, BASIC);
  if (texts.size === 0) return null;
  const own = yield* readObject(unitId, PRIVATE_FIRST);
  const text = (id: number): string => texts.get(id) ?? '';
  return {
    maker: text(MAKER),
    product: text(PRODUCT_NAME) || text(PRODUCT_CODE),
    revision: text(REVISION),
    model: text(MODEL),
    own,
  };
}

function requestFor(readCode: ReadCode, objectId: number): Request {
  return { kind: 'identify', functionCode: 43, readCode, objectId };
}

/** What came before a part that failed still counts. */
function* readStream(unitId: UnitId, readCode: ReadCode): Asking<ReadonlyMap<number, string>> {
  const texts = new Map<number, string>();
  let from = 0;
  for (let part = 0; part < PARTS_MAX; part += 1) {
    const outcome = yield* ask(unitId, requestFor(readCode, from));
    if (outcome.kind !== 'answered' || outcome.answer.kind !== 'identify') break;
    for (const object of outcome.answer.objects) texts.set(object.id, textOf(object));
    const { nextObjectId } = outcome.answer;
    // A device that sends us back would do so for ever.
    if (nextObjectId === null || nextObjectId <= from) break;
    from = nextObjectId;
  }
  return texts;
}

function* readObject(unitId: UnitId, objectId: number): Asking<string> {
  const outcome = yield* ask(unitId, requestFor(INDIVIDUAL, objectId));
  const [object] =
    outcome.kind === 'answered' && outcome.answer.kind === 'identify' ? outcome.answer.objects : [];
  return object === undefined ? '' : textOf(object);
}

/** Bytes that are no text say nothing to a person. */
function textOf({ value }: DeviceObject): string {
  const text = String.fromCharCode(...value).trim();
  return isPrintable(text) ? text : '';
}
