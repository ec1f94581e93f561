/** What happened, newest first; warnings and alarms are also said to those who hear the page. */
import { useSignal } from '@preact/signals';
import type { CloudEvent, Severity } from '../../events/index.ts';
import { formatClock } from '../../units/format.ts';
import { SEVERITIES, T } from '../texts/index.ts';
import { Choice } from './choice.tsx';
import { Mark } from './mark.tsx';
import { useStore } from './use-store.ts';

const ORDER: readonly Severity[] = ['trace', 'info', 'notice', 'warning', 'alarm'];
const FROM = [
  { value: ORDER.indexOf('info'), word: T.eventsAll },
  { value: ORDER.indexOf('notice'), word: T.eventsNotice },
  { value: ORDER.indexOf('warning'), word: T.eventsWarning },
] as const;

export function EventList() {
  const { history, news } = useStore();
  const from = useSignal<number>(FROM[0].value);
  const events = history.value.list.filter((event) => ORDER.indexOf(event.data.severity) >= from.value);
  return (
    <section class="events" aria-labelledby="events-head">
      <div class="events-top">
        <h2 id="events-head">{T.events}</h2>
        <Choice
          name={T.eventsShow}
          options={FROM}
          chosen={from.value}
          onChoose={(value) => {
            from.value = value;
          }}
        />
      </div>
      <p class="only-heard" role="status">
        {news.value}
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard */}
      <section class="events-box" tabIndex={0} aria-label={T.eventsNewest}>
        {events.length === 0 ? <p class="quiet">{T.eventsEmpty}</p> : <List events={events} />}
      </section>
    </section>
  );
}

function List({ events }: { readonly events: readonly CloudEvent[] }) {
  return (
    <ol>
      {events.toReversed().map(({ sequence, data }) => (
        <li key={sequence} class={`event event-${data.severity}`}>
          <span class="event-time">{formatClock(data.atMs)}</span>
          <span class="event-severity">
            <Mark kind={data.severity} /> {SEVERITIES[data.severity]}
          </span>
          <span class="event-text">{data.text}</span>
        </li>
      ))}
    </ol>
  );
}
