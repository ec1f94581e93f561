/** What was done to the bench by hand since its fresh start, as a drill file that does the same again. */
import { resolve } from 'node:path';
import { Document, isMap, isSeq } from 'yaml';
import { LENGTH_MS_MAX, STEPS_MAX } from '../../../sim/drill/drill-schema.ts';
import type { Recording as Told } from '../../api/drill-schema.ts';
import type { Rig } from '../../rig/index.ts';
import type { Ms } from '../../units/index.ts';
import { CAUTIONS } from '../cautions.ts';

export interface CallsOn {
  readonly cooling: boolean;
  readonly heating: boolean;
  readonly fan: boolean;
}

interface Done {
  readonly atMs: number;
  /** As it was given. */
  readonly written: object;
}

const NO_CALLS: CallsOn = { cooling: false, heating: false, fan: false };
const MS_PER_S = 1000;
/** A drill must end after its beginning. */
const LENGTH_MS_MIN = 1000;

export class Recording {
  readonly #rig: Rig;
  #fromMs: Ms;
  #calls = NO_CALLS;
  #steps: Done[] = [];
  #isFull = false;

  constructor(rig: Rig, fromMs: Ms) {
    this.#rig = rig;
    this.#fromMs = fromMs;
  }

  /** Another world stands there: what was done to the old one is forgotten. */
  begin(fromMs: Ms, calls: CallsOn = NO_CALLS): void {
    this.#fromMs = fromMs;
    this.#calls = calls;
    this.#steps = [];
    this.#isFull = false;
  }

  /** A step was carried out now; beyond what a drill file takes it is not recorded, and the file says so. */
  take(now: Ms, written: unknown): void {
    const atMs = now - this.#fromMs;
    if (this.#steps.length >= STEPS_MAX || atMs > LENGTH_MS_MAX) this.#isFull = true;
    else if (typeof written === 'object' && written !== null) {
      this.#steps.push({ atMs, written: structuredClone(written) });
    }
  }

  told(now: Ms, name = 'What was done by hand'): Told {
    return { steps: this.#steps.length, fromMs: this.#fromMs, text: this.#text(now, name) };
  }

  #text(now: Ms, name: string): string {
    const lengthMs = Math.min(Math.max(now - this.#fromMs, LENGTH_MS_MIN), LENGTH_MS_MAX);
    const document = new Document({
      drill: 1,
      name,
      why: `Recorded by hand on the bench of ${this.#rig.name}.`,
      rig: resolve(this.#rig.file),
      length: seconds(lengthMs),
      calls: Object.fromEntries(Object.entries(this.#calls).map(([call, on]) => [call, on ? 'on' : 'off'])),
      steps: this.#steps.map(({ atMs, written }) => ({ at: seconds(atMs), ...written })),
      rules: 'all',
    });
    const full = this.#isFull ? '\n Recording ended before the bench did: a drill file takes no more.' : '';
    document.commentBefore = ` ${CAUTIONS[0]}${full}`;
    aLineEach(document);
    return document.toString({ lineWidth: 0 });
  }
}

/** As drills are written: a step on a line of its own. */
function aLineEach(document: Document): void {
  const calls = document.get('calls');
  const steps = document.get('steps');
  if (isMap(calls)) calls.flow = true;
  if (!isSeq(steps)) return;
  for (const step of steps.items) if (isMap(step)) step.flow = true;
}

function seconds(spanMs: number): string {
  return `${spanMs / MS_PER_S} s`;
}
