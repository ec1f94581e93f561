/**
 * Holds the class and does what the core must not: draws codes and keys, asks the clock, plays lessons, puts
 * on record what was done. All of it is gone with the process, keys and code first.
 */
import { createHash, randomBytes, randomInt, timingSafeEqual } from 'node:crypto';
import type { StepResult } from '../../api/bench-port.ts';
import type { ClassOutcome, ClassPicture, ClassPort, JoinOutcome } from '../../api/class-port.ts';
import type { FieldView, LessonWanted, SeatView } from '../../api/class-schema.ts';
import {
  type Class,
  type ClassInput,
  classAt,
  classStep,
  mayFlip,
  newCode,
  type RefusalId,
  readCode,
  whyNoLesson,
} from '../../class/index.ts';
import type { Fact } from '../../events/index.ts';
import type { Answer, PartChoice } from '../../lesson/index.ts';
import type { LessonBook } from './lesson-book.ts';
import { scoresCsv } from './scores-csv.ts';
import { classPicture, seatView } from './views.ts';

/** What a class needs of the bench it is held at. */
export interface ClassBench {
  readonly parts: readonly PartChoice[];
  /** Bench time. */
  now(): number;
  tell(fact: Fact): void;
  field(): FieldView;
  /** How a sensor's power switch stands; undefined for what is no sensor of the rig. */
  switchedOn(sensor: string): boolean | undefined;
  flip(sensor: string, on: boolean): StepResult;
}

/** Twice what nobody can guess. */
const KEY_BYTES = 32;
const OK = { ok: true } as const;

export class ClassRoom implements ClassPort {
  readonly #bench: ClassBench;
  readonly #lessons: LessonBook;
  readonly #wallClock: () => number;
  #state: Class | null = null;
  /** A lesson needs a moment until it plays; another must not come in between. */
  #beginning = false;

  constructor(bench: ClassBench, lessons: LessonBook, wallClock: () => number = Date.now) {
    this.#bench = bench;
    this.#lessons = lessons;
    this.#wallClock = wallClock;
  }

  open(): ClassOutcome {
    const parts = this.#bench.parts.map(({ id }) => id);
    const code = newCode((limit) => randomInt(limit));
    return this.#step({ kind: 'opened', code, parts }, () => ({ id: 'class.opened', fields: {} }));
  }

  close(): ClassOutcome {
    const running = this.#open()?.lesson?.phase === 'running';
    const closed = this.#step({ kind: 'closed' }, () => ({ id: 'class.closed', fields: {} }));
    if (closed.ok && running) this.#lessons.stop();
    return closed;
  }

  async picture(): Promise<ClassPicture | null> {
    const lessons = await this.#lessons.list();
    const open = this.#open();
    if (open === null) return null;
    return classPicture(open, lessons, this.#wallClock(), () => this.#bench.field());
  }

  scoresCsv(): string | null {
    const open = this.#open();
    return open === null ? null : scoresCsv(open.scores);
  }

  async startLesson(wanted: LessonWanted): Promise<ClassOutcome> {
    const open = this.#open();
    if (open === null) return refused('noClass');
    const why = this.#beginning ? 'lessonBeginning' : whyNoLesson(open);
    if (why !== null) return refused(why);
    this.#beginning = true;
    try {
      return await this.#begin(wanted, open.code);
    } finally {
      this.#beginning = false;
    }
  }

  reveal(): ClassOutcome {
    return this.#step({ kind: 'revealed' }, (next) => {
      const on = next?.lesson;
      if (!on) return null;
      const { title, solution } = on.lesson;
      const fields = { title, causes: [...solution.causes], where: [...solution.where] };
      return { id: 'lesson.revealed', fields };
    });
  }

  dropLesson(): ClassOutcome {
    const running = this.#open()?.lesson?.phase === 'running';
    const dropped = this.#step({ kind: 'lessonDropped' });
    if (dropped.ok && running) this.#lessons.stop();
    return dropped;
  }

  giveHand(to: string | null): ClassOutcome {
    return this.#step({ kind: 'handGiven', to });
  }

  removeSeat(seat: string): ClassOutcome {
    return this.#step({ kind: 'removed', seat });
  }

  join(code: string, name: string): JoinOutcome {
    const right = this.#open()?.code;
    const given = readCode(code);
    if (right === undefined || given === null || !timingSafeEqual(digestOf(given), digestOf(right)))
      return refused('wrongCode');
    const key = randomBytes(KEY_BYTES).toString('base64url');
    const input = { kind: 'joined', name, keyDigest: digestOf(key).toString('hex') } as const;
    const joined = this.#step(input, (next) => {
      const { id, name: taken } = newestSeat(next);
      return { id: 'class.joined', fields: { seat: id, name: taken } };
    });
    return joined.ok ? { ok: true, seat: newestSeat(this.#state).id, key } : joined;
  }

  /** All digests are compared, each in constant time: the time of an answer tells nothing of a key. */
  seatOf(key: string): string | null {
    const digest = digestOf(key);
    let found: string | null = null;
    for (const { id, keyDigest } of this.#open()?.seats ?? []) {
      if (timingSafeEqual(Buffer.from(keyDigest, 'hex'), digest)) found = id;
    }
    return found;
  }

  look(seat: string): SeatView | null {
    this.#step({ kind: 'seen', seat });
    const open = this.#open();
    return open === null ? null : seatView(open, seat, this.#bench.parts, () => this.#bench.field());
  }

  answer(seat: string, answer: Answer): ClassOutcome {
    return this.#step({ kind: 'answered', seat, answer });
  }

  flip(seat: string, sensor: string, on: boolean): ClassOutcome {
    const open = this.#open();
    const name = open?.seats.find(({ id }) => id === seat)?.name;
    if (open === null || name === undefined) return refused('noSeat');
    if (!mayFlip(open, seat)) return refused('noHand');
    // The rig and the controller have power too, and are nobody's to switch here.
    const stands = this.#bench.switchedOn(sensor);
    if (stands === undefined) return refused('unknownSensor');
    if (stands === on) return OK;
    // A sensor of the rig, which stands otherwise, takes it: the fact is as good as true.
    this.#tell({ id: 'class.flipped', fields: { seat, name, sensor, on } });
    return this.#bench.flip(sensor, on);
  }

  async #begin(wanted: LessonWanted, code: string): Promise<ClassOutcome> {
    const found = await this.#lessons.get(wanted);
    if (!found.ok) return found;
    const { lesson } = found;
    const problem = await this.#lessons.play(wanted);
    if (problem !== null) return { ok: false, problem };
    let started: ClassOutcome = refused('noClass');
    try {
      // The class that wanted it may be closed by now.
      if (this.#open()?.code === code) {
        const input = { kind: 'lessonStarted', lesson, beganAtMs: this.#bench.now() } as const;
        started = this.#step(input, () => ({ id: 'lesson.started', fields: { title: lesson.title } }));
      }
      return started;
    } finally {
      if (!started.ok) this.#lessons.stop();
    }
  }

  #open(): Class | null {
    return classAt(this.#state, this.#wallClock());
  }

  /** What cannot be put on record does not happen: the fact that `told` makes of it is stored first. */
  #step(
    input: ClassInput,
    told: (next: Class | null) => ClassFact | null = () => null,
  ): { readonly ok: true } | { readonly ok: false; readonly refusal: RefusalId } {
    const stepped = classStep(this.#state, input, this.#wallClock());
    if (!stepped.ok) return stepped;
    const fact = told(stepped.state);
    if (fact !== null) this.#tell(fact);
    this.#state = stepped.state;
    return OK;
  }

  #tell(told: ClassFact): void {
    this.#bench.tell({ ...told, atMs: this.#bench.now() });
  }
}

type Told<One> = One extends { readonly id: `${'class' | 'lesson'}.${string}` } ? Omit<One, 'atMs'> : never;
type ClassFact = Told<Fact>;

function refused(refusal: RefusalId): { readonly ok: false; readonly refusal: RefusalId } {
  return { ok: false, refusal };
}

function newestSeat(open: Class | null): Class['seats'][number] {
  const seat = open?.seats.at(-1);
  if (seat === undefined) throw new Error('a seat was taken and is not there');
  return seat;
}

function digestOf(value: string): Buffer {
  return createHash('sha256').update(value).digest();
}
