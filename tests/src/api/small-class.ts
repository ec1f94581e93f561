/** A class at a bench of one sensor: what is played and flipped is remembered, the field is always the same. */
import type { FieldView } from '../../../src/api/class-schema.ts';
import { ClassRoom } from '../../../src/app/class/class-room.ts';
import { type LessonBook, NO_SUCH_LESSON } from '../../../src/app/class/lesson-book.ts';
import type { Fact } from '../../../src/events/index.ts';
import { LESSON } from '../class/classes.ts';
import { type Ask, ask, type Answer as Heard, post } from './ask.ts';
import { type OpenApi, openApi, type Wanted } from './open-api.ts';

export const TEACHER = 'teach-12345';
export const VIEWER = 'watch-12345';

export interface SmallClass extends OpenApi {
  readonly played: string[];
  readonly stopped: () => number;
  readonly flipped: (readonly [sensor: string, on: boolean])[];
  /** Lets wall clock time pass. */
  readonly pass: (ms: number) => void;
  /** Makes the next lessons fail to play, with a sentence. */
  readonly jam: (problem: string) => void;
  readonly teach: (method: string, path: string, body?: unknown) => Promise<Heard>;
  readonly join: (name: string) => Promise<Phone>;
}

export interface Phone {
  readonly seat: string;
  readonly key: string;
  readonly ask: (method: string, path: string, body?: unknown) => Promise<Heard>;
}

export function bearing(token: string): Record<string, string> {
  return { authorization: `Bearer ${token}` };
}

const FIELD: FieldView = {
  nowMs: 1000,
  speed: 1,
  paused: false,
  sensors: [],
  controller: { lit: true, state: 'running', says: [], holdLeftMs: null },
  runs: { fan: false, air: false, compressors: [], heat: false },
  terminals: [],
  portable: [],
};

/** With the tokens of an instructor and a viewer, unless others are wanted. */
export async function smallClass(wanted: Wanted = {}): Promise<SmallClass> {
  const flipped: (readonly [string, boolean])[] = [];
  const { book, played, stopped, jam } = smallBook();
  let passedMs = 0;
  const facts: { tell: (fact: Fact) => void } = { tell: () => undefined };
  const classroom = new ClassRoom(
    {
      parts: [
        { id: 'coil-a', words: 'Sensor coil-a' },
        { id: 'fan', words: 'The fan' },
      ],
      now: () => 1000,
      tell: (fact) => {
        facts.tell(fact);
      },
      field: () => FIELD,
      switchedOn: (sensor) => (sensor === 'coil-a' ? flipped.at(-1)?.[1] !== false : undefined),
      flip: (sensor, on) => {
        flipped.push([sensor, on]);
        return { ok: true };
      },
    },
    book,
    () => Date.now() + passedMs,
  );
  const api = await openApi({ tokens: [TEACHER, `viewer:${VIEWER}`], classroom, ...wanted });
  facts.tell = (fact) => void api.record.append([fact]);
  const sent = (token: string) => (method: string, path: string, body?: unknown) => {
    const headers = token === '' ? {} : bearing(token);
    const asked: Ask = { method, headers, ...(body === undefined ? {} : { body }) };
    return ask(api.url + path, asked);
  };
  const teach = sent(TEACHER);
  const join = async (name: string): Promise<Phone> => {
    const code = (await classroom.picture())?.code ?? '';
    const { status, text } = await post(`${api.url}/api/v1/seat`, { code, name });
    if (status !== 200) throw new Error(text);
    const { seat, key } = JSON.parse(text) as { readonly seat: string; readonly key: string };
    return { seat, key, ask: sent(key) };
  };
  const pass = (ms: number): void => {
    passedMs += ms;
  };
  return { ...api, played, stopped, flipped, pass, jam, teach, join };
}

function smallBook() {
  const played: string[] = [];
  let stops = 0;
  let jammed: string | null = null;
  const { id, title, name, why } = LESSON;
  const row = { id, title, name, why, minutes: 5, fits: null };
  const book: LessonBook = {
    list: () => Promise.resolve([row]),
    get: (wanted) => {
      if ('text' in wanted) return Promise.resolve({ ok: true, lesson: { ...LESSON, id: null } });
      if (wanted.id === id) return Promise.resolve({ ok: true, lesson: LESSON });
      return Promise.resolve(NO_SUCH_LESSON);
    },
    play: (wanted) => {
      played.push('id' in wanted ? wanted.id : wanted.text);
      return Promise.resolve(jammed);
    },
    stop: () => {
      stops += 1;
    },
  };
  const jam = (problem: string): void => {
    jammed = problem;
  };
  return { book, played, stopped: () => stops, jam };
}
