/**
 * Holds the class and does what the core must not: draws codes and keys, asks the clock, plays lessons, puts
 * on record what was done. All of it is gone with the process, keys and code first.
 */
import { createHash, randomBytes, randomInt, timingSafeEqual } from 'node:crypto';
import type { StepResult } from '../../api/bench-port.ts';
import type { ClassOutcome, ClassPicture, ClassPort, JoinOutcome } from '../../api/class-port.ts';
import type { FieldView, SeatView } from '../../api/class-schema.ts';
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
const NO_SUCH_LESSON = 'No lesson of this bench has this id.';

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
    const opened = this.#step({ kind: 'opened', code: newCode((limit) => randomInt(limit)), parts });
    if (opened.ok) this.#tell({ id: 'class.opened', fields: {} });
    return opened;
  }

  close(): ClassOutcome {
    const running = this.#open()?.lesson?.phase === 'running';
    const closed = this.#step({ kind: 'closed' });
    if (!closed.ok) return closed;
    if (running) this.#lessons.stop();
    this.#tell({ id: 'class.closed', fields: {} });
    return OK;
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

  async startLesson(id: string): Promise<ClassOutcome> {
    const open = this.#open();
    if (open === null) return refused('noClass');
    const why = this.#beginning ? 'lessonBeginning' : whyNoLesson(open);
    if (why !== null) return refused(why);
    this.#beginning = true;
    try {
      return await this.#begin(id, open.code);
    } finally {
      this.#beginning = false;
    }
  }

  reveal(): ClassOutcome {
    const revealed = this.#step({ kind: 'revealed' });
    const on = this.#state?.lesson;
    if (!revealed.ok || !on) return revealed;
    const { title, solution } = on.lesson;
    const fields = { title, causes: [...solution.causes], where: [...solution.where] };
    this.#tell({ id: 'lesson.revealed', fields });
    return OK;
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
    const joined = this.#step({ kind: 'joined', name, keyDigest: digestOf(key).toString('hex') });
    if (!joined.ok) return joined;
    const seat = this.#state?.seats.at(-1);
    if (seat === undefined) throw new Error('a seat was taken and is not there');
    this.#tell({ id: 'class.joined', fields: { seat: seat.id, name: seat.name } });
    return { ok: true, seat: seat.id, key };
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
    const flipped = this.#bench.flip(sensor, on);
    if (!flipped.ok) return flipped;
    this.#tell({ id: 'class.flipped', fields: { seat, name, sensor, on } });
    return OK;
  }

  async #begin(id: string, code: string): Promise<ClassOutcome> {
    const lesson = await this.#lessons.get(id);
    if (lesson === null) return { ok: false, problem: NO_SUCH_LESSON, missing: true };
    const problem = await this.#lessons.play(id);
    if (problem !== null) return { ok: false, problem };
    // The class that wanted it may be closed by now.
    const stillOpen = this.#open()?.code === code;
    const started = stillOpen
      ? this.#step({ kind: 'lessonStarted', lesson, beganAtMs: this.#bench.now() })
      : refused('noClass');
    if (started.ok) this.#tell({ id: 'lesson.started', fields: { title: lesson.title } });
    else this.#lessons.stop();
    return started;
  }

  #open(): Class | null {
    return classAt(this.#state, this.#wallClock());
  }

  #step(input: ClassInput): { readonly ok: true } | { readonly ok: false; readonly refusal: RefusalId } {
    const stepped = classStep(this.#state, input, this.#wallClock());
    if (!stepped.ok) return stepped;
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

function digestOf(value: string): Buffer {
  return createHash('sha256').update(value).digest();
}
