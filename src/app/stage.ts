/**
 * What stands on the bench: one world behind its faces, and what is counted of the wire. At a fresh start
 * another world takes its place, and all counting begins anew.
 */
import { PollFold, type PollReport, RecentPolls, type ThrownAway } from '../../sim/poll-report/index.ts';
import { LiveWorld, type Observation, type Observe, World } from '../../sim/world/index.ts';
import type { WireSnapshot } from '../api/snapshot-schema.ts';
import type { BenchClock } from '../clock/index.ts';
import type { Rig } from '../rig/index.ts';
import type { Ms } from '../units/index.ts';
import { ageDays, serviceDaysLeft, type Today } from './service-life.ts';

export interface StageParts {
  readonly rig: Rig;
  readonly seed: number;
  readonly clock: BenchClock;
  /** Sees all that is seen of any world on it. */
  readonly observe: Observe;
}

/** Who watches one world alone, from the moment at which it begins; null for nobody. */
export type Watch = (startMs: Ms) => Observe | null;

export class Stage {
  readonly live: LiveWorld;
  readonly #parts: StageParts;
  #polls: PollFold;
  /** Frames thrown away before the polls were counted anew: the faces go on counting. */
  #thrownBefore: ThrownAway = new Map();
  #recent: RecentPolls;
  #watch: Observe | null = null;
  #beganAtMs: Ms;

  constructor(parts: StageParts) {
    this.#parts = parts;
    this.#polls = new PollFold(parts.rig);
    this.#recent = new RecentPolls(parts.rig);
    this.#beganAtMs = parts.clock.now();
    this.live = new LiveWorld(this.#newWorld(Date.now()), parts.clock);
  }

  get beganAtMs(): Ms {
    return this.#beganAtMs;
  }

  /** New air, sensors just powered up, equipment at rest; the faces stay as they are. */
  begin(todayMs: Today, watch: Watch): void {
    const { rig, clock } = this.#parts;
    this.countPollsAnew();
    this.#recent = new RecentPolls(rig);
    this.#beganAtMs = clock.now();
    this.#watch = watch(this.#beganAtMs);
    this.live.begin(this.#newWorld(todayMs));
  }

  pollReport(): PollReport {
    const thrownAway = [...this.live.thrownAway()].map(
      ([line, count]) => [line, count - (this.#thrownBefore.get(line) ?? 0)] as const,
    );
    return this.#polls.report(this.#parts.clock.now(), new Map(thrownAway));
  }

  /** What was asked before concerns nobody any more. */
  countPollsAnew(): void {
    this.#polls = new PollFold(this.#parts.rig);
    this.#thrownBefore = this.live.thrownAway();
  }

  wire(): WireSnapshot {
    return { units: this.#recent.picture(this.#parts.clock.now()) };
  }

  #newWorld(todayMs: Today): World {
    const { rig, seed } = this.#parts;
    return new World(rig, {
      seed,
      startMs: this.#beganAtMs,
      serviceDaysLeft: (sensor) => serviceDaysLeft(sensor, todayMs),
      ageDays: (sensor) => ageDays(sensor, todayMs),
      observe: this.#observe,
    });
  }

  readonly #observe = (seen: Observation): void => {
    this.#polls.observe(seen);
    this.#recent.observe(seen);
    this.#watch?.(seen);
    this.#parts.observe(seen);
  };
}
