/** What the supervisor decides, since when, why, and how long its hold has still to run. */
import { Mark } from '../parts/mark.tsx';
import { markOfPhase } from '../parts/phase-mark.ts';
import { useStore } from '../parts/use-store.ts';
import { countdown, PHASES, T } from '../texts/index.ts';
import type { Supervisor } from '../types.ts';
import { Station } from './station.tsx';
import { WithoutSupervisor } from './without.tsx';

export function Mitigation() {
  const { shown, history } = useStore();
  const supervisor = shown.snapshot.value?.supervisor;
  if (supervisor === null || supervisor === undefined) {
    return (
      <Station id="mitigation">
        <WithoutSupervisor />
      </Station>
    );
  }
  const { word, says } = PHASES[supervisor.state];
  const { reason } = history.value;
  return (
    <Station id="mitigation">
      <div class={`phase phase-${supervisor.state}`}>
        <p class="phase-word">
          <Mark kind={markOfPhase(supervisor)} /> {word}
        </p>
        <p class="quiet">{T.since(supervisor.sinceMs, shown.benchNowMs.value)}</p>
        <p>{says}</p>
        {reason !== null && supervisor.state !== 'running' && (
          <p>
            <span class="quiet">{T.because}</span> {reason}
          </p>
        )}
        <Hold supervisor={supervisor} />
      </div>
    </Station>
  );
}

function Hold({ supervisor }: { readonly supervisor: Supervisor }) {
  const { holdLeftMs, holdRunning } = supervisor;
  if (holdLeftMs === null) return null;
  const says = holdLeftMs <= 0 ? T.holdOver : holdRunning ? T.holdRuns : T.holdWaits;
  return (
    <div class="hold">
      <p>
        <span class="hold-clock">{countdown(holdLeftMs)}</span> <span class="quiet">{T.holdLeft}</span>
      </p>
      <p>
        {!holdRunning && holdLeftMs > 0 && <Mark kind="warning" />} {says}
      </p>
    </div>
  );
}
