/** The class of a place: everything that can still make a difference, ages up to their limits. */
import type { HoldClock, MitigationPolicy, MitigationState } from '../../../../src/mitigation/index.ts';
import type { Ms } from '../../../../src/units/index.ts';
import type { Shadow } from './oracle.ts';
import { type Between, HOLD_TICKS, STEP_TICKS, TICK_MS } from './world.ts';

/** Start spacing of compressors, the longest age that matters beside the hold. */
const APART_TICKS = 2;
/** What a hold has run too much dates its end back; further than a step back makes no difference. */
const RAN_TICKS = HOLD_TICKS + Math.max(...STEP_TICKS);

/** What of a place makes a difference. */
interface Kept {
  readonly state: MitigationState;
  readonly shadow: Shadow;
  readonly between: Between;
  readonly now: Ms;
}

export function keyOf(place: Kept, policy: MitigationPolicy): string {
  const { state, shadow, between, now } = place;
  const age = (sinceMs: number | null | undefined, limit: number): string =>
    sinceMs === null || sinceMs === undefined ? '-' : String(Math.min(limit, (now - sinceMs) / TICK_MS));
  const ages = (all: readonly (number | null)[], limit: number): string =>
    all.map((sinceMs) => age(sinceMs, limit)).join();
  const hold = (clock: HoldClock): string => {
    const ranMs = clock.ranMs + (clock.runningSinceMs === null ? 0 : now - clock.runningSinceMs);
    return `${Math.min(RAN_TICKS, ranMs / TICK_MS)}${clock.runningSinceMs === null ? 'waits' : 'runs'}`;
  };
  const { phase, commands } = state;
  const one = policy.circuits.length === 1;
  const inPhase = 'hold' in phase ? hold(phase.hold) : 'afterwards' in phase ? phase.afterwards : '';
  return [
    phase.kind,
    inPhase,
    Number(commands.fan) + 2 * Number(commands.heat),
    state.compressors
      .map(({ on, sinceMs }) => `${on ? 'on' : 'off'}${age(sinceMs, one ? 1 : APART_TICKS)}`)
      .join(),
    age(state.airflowMissingSinceMs, 1),
    age(state.airflowUnaskedSinceMs, 1),
    ages(state.runningUnaskedSinceMs, 1),
    state.tripsAtMs.length,
    Number(state.tripCounted) + 2 * Number(state.resetWasHeld),
    ages(between.offSinceMs, 1),
    shadow.provenMs === null ? '-' : Math.min(HOLD_TICKS, shadow.provenMs / TICK_MS),
    Number(shadow.counts) + 2 * Number(shadow.counted) + 4 * Number(shadow.locked) + 8 * Number(shadow.fire),
    shadow.trips,
    String(shadow.reset),
    ages(shadow.offSinceMs, 1),
    ages(shadow.onSinceMs, one ? 0 : APART_TICKS),
    shadow.untaken.map(Number).join(),
    age(shadow.noAirSinceMs, 1),
    age(shadow.strangeAirSinceMs, 1),
    ages(shadow.weldedSinceMs, 1),
  ].join(' ');
}
