/** Hands the supply switches of the sensors to a seat, to all of them, or takes them back. */
import { useId } from 'preact/hooks';
import { RefusalNote } from '../controls/refusal-note.tsx';
import { useStore } from '../parts/use-store.ts';
import { C } from '../texts/class.ts';
import type { Desk } from './desk.ts';
import type { ClassView } from './types.ts';

const NAME = 'hand';

export function Hand({ room, desk }: { readonly room: ClassView; readonly desk: Desk }) {
  const id = useId();
  const { refusals } = useStore();
  const give = async (to: string | null): Promise<void> => {
    refusals.note(NAME, await desk.hand(to));
  };
  return (
    <div class="field hand">
      <label for={id}>{C.hand}</label>
      <select
        id={id}
        value={room.hand ?? ''}
        onChange={(event) => {
          const { value } = event.currentTarget;
          void give(value === '' ? null : value);
        }}
      >
        <option value="">{C.nobody}</option>
        <option value="everybody">{C.everybody}</option>
        {room.seats.map((seat) => (
          <option key={seat.id} value={seat.id}>
            {seat.name}
          </option>
        ))}
      </select>
      <RefusalNote control={NAME} />
    </div>
  );
}
