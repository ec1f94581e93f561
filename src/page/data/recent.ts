/**
 * The recent past, from the record: everything of the last `windowMs` up to a sequence. It is read
 * backwards in pages, because only the end of a long record is wanted.
 */
import type { CloudEvent } from '../../events/index.ts';
import type { Api, Got } from './api.ts';

const PAGE = 500;
/** 20 000 events are an hour of a busy bench; more would keep a phone waiting. */
const PAGES_MAX = 40;

/** Events from some sequence on up to and with `through`, in order. */
export async function recentEvents(
  api: Pick<Api, 'events'>,
  through: number,
  windowMs: number,
): Promise<Got<readonly CloudEvent[]>> {
  let events: readonly CloudEvent[] = [];
  let before = through;
  for (let page = 0; page < PAGES_MAX && before > 0; page += 1) {
    const after = Math.max(0, before - PAGE);
    const got = await range(api, after, before);
    if (!got.ok) return got;
    events = [...got.value, ...events];
    before = after;
    if (reachesBack(events, windowMs)) break;
  }
  return { ok: true, value: events };
}

/** Events after one sequence up to and with another; asks again where the bench gives fewer than asked. */
async function range(
  api: Pick<Api, 'events'>,
  after: number,
  through: number,
): Promise<Got<readonly CloudEvent[]>> {
  const events: CloudEvent[] = [];
  let last = after;
  while (last < through) {
    const got = await api.events(last, through - last);
    if (!got.ok) return got;
    const page = got.value.filter((event) => event.sequence <= through);
    const end = page.at(-1)?.sequence;
    if (end === undefined || end <= last) break;
    events.push(...page);
    last = end;
  }
  return { ok: true, value: events };
}

/** Bench time begins anew with each start of the bench, so a jump back is far enough too. */
function reachesBack(events: readonly CloudEvent[], windowMs: number): boolean {
  const first = events[0];
  const last = events.at(-1);
  if (first === undefined || last === undefined) return true;
  return last.data.atMs - first.data.atMs >= windowMs || first.data.atMs > last.data.atMs;
}
