/** A drill as it is run: its file read, its names checked against its rig. */
import type { Lesson } from '../../src/lesson/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import type { RuleId } from '../judge/rules.ts';
import type { Expectation } from './expectation.ts';
import type { Step } from './step.ts';

export interface Drill {
  readonly name: string;
  readonly why: string;
  readonly file: string;
  /** The file's text, for reports. */
  readonly text: string;
  readonly rigFile: string;
  readonly rig: Rig;
  readonly lengthMs: Ms;
  readonly calls: { readonly cooling: boolean; readonly heating: boolean; readonly fan: boolean };
  /** In order of time, those of one moment in the order of the file. */
  readonly steps: readonly { readonly atMs: Ms; readonly step: Step }[];
  readonly rules: readonly RuleId[];
  readonly expectations: readonly Expectation[];
  /** null for a drill that is none. */
  readonly lesson: Lesson | null;
}
