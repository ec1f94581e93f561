/** The instructor's view of the class: open it, let phones in, run lessons, reveal, take the scores along. */
import { useSignal } from '@preact/signals';
import { Act } from '../controls/act.tsx';
import { Sure } from '../parts/sure.tsx';
import { C } from '../texts/class.ts';
import { classOf, type Desk, useDesk } from './desk.ts';
import { Hand } from './hand.tsx';
import { Invitation } from './invitation.tsx';
import { Lessons } from './lessons.tsx';
import { Revealed } from './revealed.tsx';
import { Running } from './running.tsx';
import { Scores } from './scores.tsx';
import { Seats } from './seats.tsx';
import type { ClassView } from './types.ts';

export function ClassRoom() {
  const desk = useDesk();
  const got = desk.got.value;
  const room = classOf(desk);
  return (
    <div class="class">
      <p class="sheet-head">{C.sheet(new Date().toLocaleDateString())}</p>
      {got === null && <p class="quiet">{C.asking}</p>}
      {got?.ok === false && <p>{got.text}</p>}
      {got?.ok === true && room === null && <Opening desk={desk} />}
      {room !== null && <Open room={room} desk={desk} />}
    </div>
  );
}

function Opening({ desk }: { readonly desk: Desk }) {
  return (
    <section class="opening">
      <h2>{C.title}</h2>
      {C.openSays.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <p class="first-act">
        <Act name="open class" word={C.open} ask={desk.open} />
      </p>
    </section>
  );
}

interface OpenProps {
  readonly room: ClassView;
  readonly desk: Desk;
}

function Open({ room, desk }: OpenProps) {
  const peek = useSignal(false);
  const { lesson } = room;
  if (lesson?.phase === 'running') return <Running room={room} lesson={lesson} desk={desk} peek={peek} />;
  return (
    <>
      {lesson !== null && <Revealed room={room} lesson={lesson} />}
      <Invitation room={room} folded={lesson !== null || room.scores.length > 0} />
      <div class="class-columns">
        <Lessons room={room} desk={desk} />
        <div class="class-side">
          <Seats room={room} desk={desk} peek={false} />
          <Hand room={room} desk={desk} />
          <Scores room={room} desk={desk} />
          <p>
            <Sure name="close class" word={C.close} question={C.closeSure} ask={desk.close} />
          </p>
        </div>
      </div>
    </>
  );
}
