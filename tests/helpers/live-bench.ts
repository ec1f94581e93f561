/** A bench in this process: cheaper than a process of its own where it is only asked and told. */
import type { Step } from '../../sim/drill/step.ts';
import { LiveWorld, type Observe, World } from '../../sim/world/index.ts';
import { benchClock } from '../../src/clock/index.ts';
import { addressText, type BusAddress, type Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';

export interface LiveBench {
  /** Where its one line is. */
  readonly bus: string;
  readonly live: LiveWorld;
  readonly now: () => Ms;
  /** Throws where the step cannot be. */
  readonly apply: (step: Step) => void;
}

export interface LiveBenchOptions {
  readonly rig: Rig;
  /** Left out: a port of this machine that the system chooses. */
  readonly at?: BusAddress;
  readonly speed?: number;
  readonly observe?: Observe;
  /** Is handed what closes it. */
  readonly atEnd: (close: () => Promise<void>) => void;
}

const ANY_PORT: BusAddress = { kind: 'tcp', host: '127.0.0.1', port: 0 };

export async function liveBench(options: LiveBenchOptions): Promise<LiveBench> {
  const { rig, at = ANY_PORT, speed = 1, observe = () => undefined, atEnd } = options;
  const clock = benchClock(speed);
  const world = new World(rig, { seed: 1, startMs: clock.now(), serviceDaysLeft: () => 3000, observe });
  const live = new LiveWorld(world, clock);
  atEnd(async () => {
    await live.close();
    clock.stop();
  });
  await live.listen(() => [at]);
  const [first] = live.addresses;
  if (first === undefined) throw new Error('nowhere to ask');
  return {
    bus: addressText(first.address),
    live,
    now: () => clock.now(),
    apply(step) {
      const problem = live.apply(step);
      if (problem !== null) throw new Error(problem);
    },
  };
}
