/**
 * What the HTTP side needs of whatever runs behind it: a whole bench, the sensors alone, or the supervisor
 * alone. The composition root supplies it; the API knows nothing of the simulator.
 */

import type { JsonSchema } from '../files/index.ts';
import type { PollSeen } from '../supervisor/index.ts';
import type { DrillListing, DrillReport, DrillWanted, Recording } from './drill-schema.ts';
import type { PollReport } from './poll-report-schema.ts';
import type { RigView } from './rig-view-schema.ts';
import type { Snapshot } from './snapshot-schema.ts';

export interface BenchPort extends DrillPort {
  rigView(): RigView;
  snapshot(): Snapshot;
  /** What the controller asks; null where the sensors run elsewhere. */
  pollReport(): PollReport | null;
  /** The poll report counts from here on; nothing else changes. */
  countPollsAnew(): StepResult;
  /** What applyStep takes, as a JSON Schema: for whoever wants to know, not for a check. */
  readonly stepSchema: JsonSchema;
  /** Applies a drill step without `at`; a refusal is our own sentence for the caller. */
  applyStep(step: unknown): StepResult;
  setClock(change: ClockChange): StepResult;
  /** Has every poll of the supervisor told, from here on; of one that is elsewhere there are none. */
  watchPolls(told: (poll: PollSeen) => void): void;
  /** null where the controller runs elsewhere or has no power. */
  supervisorFigures(): SupervisorFigures | null;
  /** Why the bench is not ready to serve, or null when it is. */
  notReady(): string | null;
}

export interface SupervisorFigures {
  /** By line of the rig. */
  readonly connected: ReadonlyMap<string, boolean>;
  /** Facts that wait for the record. */
  readonly unstored: number;
}

export interface DrillPort {
  /** A fresh start: new air, new sensors, equipment at rest, the controller at its power-up. */
  restart(): Promise<StepResult>;
  drills(): Promise<readonly DrillListing[]>;
  /** A fresh start, and the drill plays from there. */
  playDrill(wanted: DrillWanted): Promise<StepResult>;
  stopDrill(): StepResult;
  /** null where none was played since the last fresh start. */
  drillReport(): DrillReport | null;
  /** What was done by hand since the last fresh start; null where the sensors run elsewhere. */
  recording(name: string | undefined): Recording | null;
}

export interface ClockChange {
  readonly speed?: number | undefined;
  readonly paused?: boolean | undefined;
  /** As fast as the clock may until the next event, then it stands still. */
  readonly toNextEvent?: true | undefined;
}

export type StepResult = { readonly ok: true } | { readonly ok: false; readonly problem: string };
