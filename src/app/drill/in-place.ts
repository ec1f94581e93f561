/**
 * Drills on the bench that is there: a fresh start, the steps at the clock's speed, the verdict at the end,
 * and the bench goes on. At most one drill is known: the one that plays, or the last since the fresh start.
 */
import type { Logger } from 'pino';
import type { DrillReport, DrillStatus } from '../../api/drill-schema.ts';
import type { BenchClock } from '../../clock/index.ts';
import type { EventRecord } from '../../record/index.ts';
import type { Ms } from '../../units/index.ts';
import type { FreshStart } from '../fresh-start.ts';
import { judgedResults } from '../report/json.ts';
import { stepText } from '../report/step-text.ts';
import type { DrillVerdict } from '../report/verdict.ts';
import type { Stage } from '../stage.ts';
import { type Tell, tellerTo } from '../teller.ts';
import { ClockHold } from './clock-hold.ts';
import { judgedRun } from './judged-run.ts';
import { DrillPlay } from './play.ts';
import type { Recording } from './recording.ts';
import type { Playable } from './shelf.ts';

export interface InPlaceParts {
  readonly clock: BenchClock;
  readonly record: EventRecord;
  readonly log: Logger;
  readonly stage: Stage;
  readonly fresh: FreshStart;
  readonly recording: Recording;
  readonly controller: 'builtin' | 'external';
  readonly canSwitch: boolean;
  readonly seed: number;
}

interface Known {
  readonly playable: Playable;
  readonly play: DrillPlay;
  readonly stepTexts: readonly string[];
  readonly hold: ClockHold<'drill' | 'controller'>;
  state: DrillStatus['state'];
  verdict: DrillVerdict | null;
  byHand: number;
}

export class DrillInPlace {
  readonly #parts: InPlaceParts;
  /** A record that takes nothing does not keep a drill from being played. */
  readonly #tell: Tell;
  #known: Known | null = null;

  constructor(parts: InPlaceParts) {
    this.#parts = parts;
    this.#tell = tellerTo(parts.record, parts.log);
    parts.fresh.ending = () => {
      this.stop();
      this.#known = null;
    };
  }

  /** Resolves once it plays; rejects where the fresh start could not be recorded. */
  async begin(playable: Playable): Promise<void> {
    // Whoever begins afresh meanwhile ends it.
    const mine = (): Known | null => (this.#known?.playable === playable ? this.#known : null);
    try {
      await this.#parts.fresh.run(`for the drill "${playable.drill.name}"`, null, (startMs) => {
        const known = this.#newlyKnown(playable, startMs);
        this.#known = known;
        return (seen) => {
          known.play.observe(seen);
          if (seen.kind === 'asked') known.hold.there('controller');
        };
      });
    } catch (error) {
      if (mine() !== null) this.stop();
      throw error;
    }
    const known = mine();
    if (known?.state === 'playing') this.#playOn(known);
  }

  /** False where none plays. */
  stop(): boolean {
    const known = this.#known;
    if (known?.state !== 'playing') return false;
    known.play.stop();
    known.state = 'stopped';
    known.hold.end();
    this.#tellEnded('stopped', null);
    return true;
  }

  /** Somebody sets the clock, which a drill may be holding. */
  clockIsTaken(): void {
    this.#known?.hold.leave();
  }

  /** Somebody did a step beside those of the drill. */
  madeByHand(): void {
    if (this.#known?.state === 'playing') this.#known.byHand += 1;
  }

  status(): DrillStatus | null {
    return this.#known === null ? null : statusOf(this.#known);
  }

  report(): DrillReport | null {
    if (this.#known === null) return null;
    const { verdict } = this.#known;
    const results =
      verdict === null
        ? { rules: [], expectations: [], notes: [...this.#known.play.leftOut, ...notesOf(this.#known)] }
        : judgedResults(verdict);
    return { ...statusOf(this.#known), ...results };
  }

  #newlyKnown(playable: Playable, startMs: Ms): Known {
    const { clock, stage, recording, canSwitch } = this.#parts;
    const { drill } = playable;
    const play = new DrillPlay(drill, startMs, {
      clock,
      apply: (step) => stage.live.apply(step),
      catchUp: () => void stage.live.picture(),
      canSwitch: () => canSwitch,
      stepComes: (step) => {
        this.#tell([{ id: 'drill.step', atMs: clock.now(), fields: { text: stepText(step) } }]);
      },
    });
    recording.begin(startMs, drill.calls);
    const { name, lengthMs } = drill;
    this.#tell([{ id: 'drill.started', atMs: startMs, fields: { name, lengthMs } }]);
    const stepTexts = drill.steps.map(({ step }) => stepText(step));
    // An outside controller is there with its first request, the built-in one within a moment.
    const hold = new ClockHold(clock, ['drill', 'controller']);
    return { playable, play, stepTexts, hold, state: 'playing', verdict: null, byHand: 0 };
  }

  #playOn(known: Known): void {
    const played = known.play.play();
    known.hold.there('drill');
    played.then(
      (trace) => {
        if (trace !== null) this.#judge(known, trace);
      },
      (error: unknown) => {
        this.#parts.log.error({ err: error }, 'the drill could not be played to its end');
        this.stop();
      },
    );
  }

  #judge(known: Known, trace: Parameters<typeof judgedRun>[1]['trace']): void {
    const { seed, controller } = this.#parts;
    const { heldUp, leftOut } = known.play;
    const run = { trace, facts: [], trouble: [], leftOut, pollReport: null, heldUp };
    const by = { seed, controller, host: 'live', liveOptions: [] } as const;
    known.verdict = judgedRun(known.playable.drill, run, by, notesOf(known));
    known.state = 'judged';
    this.#tellEnded('judged', known.verdict.verdict);
  }

  #tellEnded(state: 'judged' | 'stopped', verdict: DrillStatus['verdict']): void {
    this.#tell([{ id: 'drill.ended', atMs: this.#parts.clock.now(), fields: { state, verdict } }]);
  }
}

function statusOf({ playable, play, stepTexts, state, verdict }: Known): DrillStatus {
  const { drill, id, lesson } = playable;
  return {
    id,
    name: drill.name,
    why: drill.why,
    state,
    beganAtMs: play.startMs,
    lengthMs: drill.lengthMs,
    steps: drill.steps.map(({ atMs }, index) => ({
      atMs,
      text: stepTexts[index] ?? '',
      done: index < play.stepsDone,
    })),
    lesson,
    verdict: verdict?.verdict ?? null,
  };
}

/** What concerns no verdict. */
function notesOf({ playable, byHand }: Known): string[] {
  const hands =
    byHand === 1 ? '1 step was made by hand meanwhile' : `${byHand} steps were made by hand meanwhile`;
  return [...playable.notes, ...(byHand === 0 ? [] : [hands])];
}
