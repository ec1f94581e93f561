/**
 * A seat that is taken: the unit, the tools, the questions. On a phone one of them at a time, chosen at the
 * thumb's end of the screen; where there is room, all at once.
 */
import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { SeatView } from '../class/types.ts';
import { Drawing } from '../field/drawing.tsx';
import { GasReader, Meter } from '../field/meter.tsx';
import type { Power } from '../field/supply.tsx';
import { FieldTime } from '../field/time.tsx';
import { Mark } from '../parts/mark.tsx';
import { F } from '../texts/field.ts';
import { S } from '../texts/seat.ts';
import { AnswerForm } from './answer.tsx';
import { Result } from './result.tsx';
import type { Seat } from './seat.ts';

type Tab = 'unit' | 'measure' | 'answer';
const TABS: readonly Tab[] = ['unit', 'measure', 'answer'];

interface SeatedProps {
  readonly seat: Seat;
  readonly view: SeatView;
}

export function Seated({ seat, view }: SeatedProps) {
  if (view.field === null) return <Gathering name={view.name} />;
  return <Lesson key={view.title} seat={seat} view={view} field={view.field} />;
}

function Gathering({ name }: { readonly name: string }) {
  return (
    <main class="gathering">
      <p class="gathered">
        <Mark kind="good" /> {S.gathered}
      </p>
      <p class="seat-name">{S.seatOf(name)}</p>
      <p>{S.gatheredSays}</p>
    </main>
  );
}

function Lesson({ seat, view, field }: SeatedProps & { readonly field: NonNullable<SeatView['field']> }) {
  const tab = useSignal<Tab>('unit');
  const revealed = view.phase === 'revealed';
  useEffect(() => {
    if (revealed) tab.value = 'answer';
  }, [revealed, tab]);
  const power: Power = { mayFlip: view.mayFlip, why: F.mayNot, flip: seat.power };
  const panel = (name: Tab) => `panel panel-${name}${tab.value === name ? ' is-at' : ''}`;
  return (
    <>
      <main class={seat.oldMs.value === null ? 'panels' : 'panels is-old'}>
        <div class="case">
          <h2>{view.title}</h2>
          <FieldTime field={field} />
          <p class="quiet seat-name">{S.seatOf(view.name)}</p>
        </div>
        <section class={panel('unit')} aria-label={F.unit}>
          <Drawing field={field} power={power} />
        </section>
        <section class={panel('measure')} aria-label={S.tabs.measure}>
          <Meter terminals={field.terminals} />
          <GasReader portable={field.portable} />
        </section>
        <section class={panel('answer')} aria-label={S.tabs.answer}>
          {revealed ? <Result view={view} /> : <AnswerForm seat={seat} view={view} />}
        </section>
      </main>
      <Tabs tab={tab} view={view} />
    </>
  );
}

function Tabs({ tab, view }: { readonly tab: Signal<Tab>; readonly view: SeatView }) {
  const revealed = view.phase === 'revealed';
  return (
    <nav class="tabs" aria-label={S.tabsLabel}>
      {TABS.map((name) => (
        <button
          key={name}
          type="button"
          aria-current={tab.value === name}
          onClick={() => {
            tab.value = name;
            scrollTo(0, 0);
          }}
        >
          {name === 'answer' && revealed ? S.tabs.result : S.tabs[name]}
          {name === 'answer' && !revealed && (
            <span class="tab-note">{view.answer === null ? S.unsent : S.answered}</span>
          )}
        </button>
      ))}
    </nav>
  );
}
