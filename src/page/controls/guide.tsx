/**
 * The way in for somebody who has never seen the bench: call cooling, release gas, ask why the compressor is
 * off. It goes once it was followed or closed, and does not come back.
 */
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { kept } from '../data/kept.ts';
import { callStep, releaseStep } from '../data/steps.ts';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { GUIDE, outputText } from '../texts/index.ts';
import type { Supervisor, World } from '../types.ts';
import { Act } from './act.tsx';
import { wholeCharge } from './release.tsx';

const guide = kept('guide', ['open', 'closed'], 'open');

export function Guide() {
  const { rig, shown, isViewer } = useStore();
  const snapshot = shown.snapshot.value;
  const { world, supervisor } = snapshot ?? { world: null, supervisor: null };
  const circuit = rig.value?.circuits[0];
  if (world === null || supervisor === null || circuit === undefined) return null;
  // A drill does its steps by itself; hands in it would make it another.
  if (guide.value.value === 'closed' || isViewer.value || snapshot?.drill?.state === 'playing') return null;
  return <Way world={world} supervisor={supervisor} output={`compressor.${circuit}`} />;
}

interface WayProps {
  readonly world: World;
  readonly supervisor: Supervisor;
  readonly output: string;
}

function Way({ world, supervisor, output }: WayProps) {
  const { rig, asked } = useStore();
  const released = useSignal(false);
  const askedEarly = useSignal(false);
  const { calls, releaseGPerS } = world;
  const hasCalled = calls.cooling || calls.heating;
  const hasReleased = released.value || releaseGPerS > 0;
  const gas = gasIn(world, rig.value?.setpoint.percentLfl ?? Number.POSITIVE_INFINITY);
  const command = supervisor.commands[output];
  const isOff = hasReleased && supervisor.state !== 'running' && command?.on === false;
  const question = `output ${output}`;
  useEffect(() => {
    if (releaseGPerS > 0) released.value = true;
  }, [releaseGPerS, released]);
  const ask = (): void => {
    askedEarly.value = command?.on === true;
    // A chain that tells why it is on would answer another question.
    if (askedEarly.value) return;
    asked.open(question);
    document.querySelector<HTMLElement>(`[data-opens="${question}"]`)?.focus();
    if (isOff) guide.choose('closed');
  };
  return (
    <aside class="guide" aria-labelledby="guide-head">
      <h2 id="guide-head">{GUIDE.title}</h2>
      <ol>
        <li>
          <Done is={hasCalled} />
          <Act name="guide call" word={GUIDE.call} ask={({ api }) => api.step(callStep('cooling', true))} />
        </li>
        <li>
          <Done is={hasReleased && (isOff || gas !== 'gone')} />
          <Act
            name="guide release"
            word={GUIDE.release}
            ask={({ api }) =>
              api.step(releaseStep({ at: 'cabinet', amount: wholeCharge(rig.value?.chargeKg ?? 0) }))
            }
          />
        </li>
        <li>
          <button type="button" class={isOff ? 'is-next' : ''} onClick={ask}>
            {GUIDE.why(outputText(output))}
          </button>
          {hasReleased && !isOff && <span class="quiet">{GUIDE.soon[gas]}</span>}
          <span class="quiet" role="status">
            {askedEarly.value && command?.on === true && GUIDE.stillOn(outputText(output))}
          </span>
        </li>
      </ol>
      <button
        type="button"
        class="guide-close"
        onClick={() => {
          guide.choose('closed');
        }}
      >
        {GUIDE.close}
      </button>
    </aside>
  );
}

/** Where what was let out is by now. */
function gasIn({ releaseGPerS, cabinet, room, sensors }: World, setpoint: number): keyof typeof GUIDE.soon {
  if (releaseGPerS > 0) return 'flows';
  const levels = [cabinet, room, ...Object.values(sensors).map((sensor) => sensor.gas)];
  return levels.some((level) => level >= setpoint) ? 'stands' : 'gone';
}

function Done({ is }: { readonly is: boolean }) {
  if (!is) return null;
  return (
    <span>
      <Mark kind="good" />
      <span class="only-heard">{GUIDE.done}</span>
    </span>
  );
}
