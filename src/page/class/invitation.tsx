/** How phones come in: an address, a code for all to read, and a square to scan. */
import { type Signal, useSignal } from '@preact/signals';
import { Choice } from '../parts/choice.tsx';
import { Mark } from '../parts/mark.tsx';
import { C } from '../texts/class.ts';
import { QrCode } from './qr.tsx';
import type { ClassView } from './types.ts';

/** "192.168.1.20:7580/join": as one types it. */
function typed(joinUrl: string): string {
  const { host, pathname } = new URL(joinUrl);
  return `${host}${pathname.replace(/\/$/u, '')}`;
}

/** Folded once the class is at work: those who come late ask. */
export function Invitation({ room, folded }: { readonly room: ClassView; readonly folded: boolean }) {
  const [url] = room.joinUrls;
  if (!folded || url === undefined) return <Card room={room} />;
  return (
    <details class="late">
      <summary>{C.lateJoin(typed(url), room.code)}</summary>
      <Card room={room} />
    </details>
  );
}

function Card({ room }: { readonly room: ClassView }) {
  const at = useSignal(0);
  const url = room.joinUrls[at.value] ?? room.joinUrls[0];
  if (url === undefined) return null;
  return (
    <section class="invitation" aria-label={C.join}>
      <QrCode text={url} label={C.qr(typed(url))} />
      <div class="invitation-words">
        <h2>{C.join}</h2>
        <p class="quiet">{C.joinAt}</p>
        <p class="join-address">{typed(url)}</p>
        <p class="quiet">{C.code}</p>
        <p class="join-code">{room.code}</p>
        {room.joinUrls.length > 1 && <Addresses urls={room.joinUrls} at={at} />}
        <p class="quiet">{C.openUntil(clockOf(room.expiresAt))}</p>
      </div>
      {!room.reachable && <Unreachable />}
    </section>
  );
}

function Addresses({ urls, at }: { readonly urls: readonly string[]; readonly at: Signal<number> }) {
  return (
    <Choice
      name={C.whichAddress}
      options={urls.map((url, value) => ({ value, word: new URL(url).hostname }))}
      chosen={at.value}
      onChoose={(value) => {
        at.value = value;
      }}
    />
  );
}

function Unreachable() {
  return (
    <div class="unreachable">
      <p>
        <Mark kind="warning" /> {C.unreachable}
      </p>
      <p>
        <code>{C.unreachableCommand}</code>
      </p>
      <p>{C.unreachableHere}</p>
    </div>
  );
}

function clockOf(iso: string): string {
  return new Date(iso).toLocaleTimeString([], { hour: '2-digit', minute: '2-digit' });
}
