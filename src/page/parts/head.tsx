/** Name of the bench and the rig, the clock, and whether what is shown is now. */
import { Clock } from '../controls/clock.tsx';
import { LINKS, T } from '../texts/index.ts';
import type { Link } from '../types.ts';
import { Mark, type MarkKind } from './mark.tsx';
import { useStore } from './use-store.ts';

const LINK_MARKS: Readonly<Record<Link, MarkKind>> = {
  connecting: 'wait',
  live: 'good',
  lost: 'warning',
  locked: 'locked',
};

export function Head() {
  const { rig, link } = useStore();
  return (
    <div class="head">
      <div class="head-name">
        <h1>
          <svg class="brand" viewBox="0 0 32 32" aria-hidden="true">
            <path d="M21.5 6.5A11 11 0 1 0 26 18" />
            <circle cx="27" cy="8" r="3" />
          </svg>
          {T.name}
        </h1>
        <p>{rig.value?.name ?? (link.value === 'locked' ? '' : T.loading)}</p>
        <p class={`link link-${link.value}`}>
          <Mark kind={LINK_MARKS[link.value]} /> {LINKS[link.value]}
        </p>
      </div>
      {link.value !== 'locked' && <Clock />}
    </div>
  );
}

/** Said once, where nothing that would change the bench can be had. */
export function ViewerNote() {
  if (!useStore().isViewer.value) return null;
  return (
    <p class="viewer-note">
      <Mark kind="notice" /> {T.viewerOnly}
    </p>
  );
}

/** Old values must never pass for present ones. */
export function Lost() {
  const { link, problem, shown } = useStore();
  const { value } = link;
  const isLost = value === 'lost' || (value !== 'locked' && shown.staleMs.value !== null);
  return (
    <div role="status">
      {isLost && (
        <p class="lost">
          <Mark kind="warning" /> {T.lostNote(shown.staleMs.value)} {problem.value}
        </p>
      )}
    </div>
  );
}

/** The bench trips without its record and releases nothing: whoever waits for the end must know why. */
export function RecordTrouble() {
  const trouble = useStore().shown.snapshot.value?.recordTrouble ?? null;
  return (
    <div role="status">
      {trouble !== null && (
        <p class="lost">
          <Mark kind="warning" /> {T.recordNote} {trouble}
        </p>
      )}
    </div>
  );
}
