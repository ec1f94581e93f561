/** What the supervisor decides, since when, why, and how long its hold has still to run. */
import { Act } from '../controls/act.tsx';
import { Supply } from '../controls/supply.tsx';
import { resetStep } from '../data/steps.ts';
import { Mark } from '../parts/mark.tsx';
import { markOfPhase } from '../parts/phase-mark.ts';
import { useStore } from '../parts/use-store.ts';
import { B, countdown, H, PHASES, T } from '../texts/index.ts';
import type { Supervisor } from '../types.ts';
import { becauseOfPhase, holdText } from './because.ts';
import { Station } from './station.tsx';
import { Why } from './why.tsx';
import { WithoutSupervisor } from './without.tsx';

export function Mitigation() {
  const { shown } = useStore();
  const { supervisor, world } = shown.snapshot.value ?? { supervisor: null, world: null };
  return (
    <Station id="mitigation">
      {supervisor === null ? <WithoutSupervisor /> : <Decision supervisor={supervisor} />}
      {world !== null && (
        <div class="hands-row">
          <Act name="reset" word={H.reset} weight="small" ask={({ api }) => api.step(resetStep())} />
          <Supply of="controller" on={!world.unpowered.includes('controller')} word={H.controllerSupply} />
        </div>
      )}
    </Station>
  );
}

function Decision({ supervisor }: { readonly supervisor: Supervisor }) {
  const { rig, shown, history } = useStore();
  const { word, says } = PHASES[supervisor.state];
  const holdMs = rig.value?.policy['holdMs'];
  return (
    <div class={`phase phase-${supervisor.state}`}>
      <Why
        id="phase"
        what={B.phase}
        how={word.toLowerCase()}
        because={() => becauseOfPhase(supervisor, history.value, holdMs)}
        buttonClass="why phase-word"
        beside={
          <>
            <p class="quiet">{T.since(supervisor.sinceMs, shown.benchNowMs.value)}</p>
            <p>{says}</p>
            <Hold supervisor={supervisor} wholeMs={typeof holdMs === 'number' ? holdMs : null} />
          </>
        }
      >
        <Mark kind={markOfPhase(supervisor)} /> {word}
      </Why>
    </div>
  );
}

interface HoldProps {
  readonly supervisor: Supervisor;
  readonly wholeMs: number | null;
}

/** A bar that empties; hatched while the hold waits, for then it does not. */
function Hold({ supervisor, wholeMs }: HoldProps) {
  const { holdLeftMs, holdRunning } = supervisor;
  if (holdLeftMs === null) return null;
  const waits = !holdRunning && holdLeftMs > 0;
  const share = wholeMs === null || wholeMs <= 0 ? 0 : Math.min(1, Math.max(0, holdLeftMs / wholeMs));
  return (
    <div class={waits ? 'hold is-waiting' : 'hold'}>
      <p>
        <span class="hold-clock">{countdown(holdLeftMs)}</span> <span class="quiet">{B.holdLeft}</span>
      </p>
      <svg class="hold-bar" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect class="level-scale" width="100" height="6" />
        <rect class="hold-left" width={share * 100} height="6" />
      </svg>
      <p>
        {waits && <Mark kind="warning" />} {holdText(supervisor)}
      </p>
    </div>
  );
}
