/**
 * The unit as it stands in its room, drawn as a section: sensors where they are mounted, the works and the
 * controller in the cabinet. Whatever is drawn here a technician could see without a tool.
 */
import type { FieldSensor, FieldView } from '../class/types.ts';
import { F } from '../texts/field.ts';
import { Controller } from './controller.tsx';
import { Sensor } from './sensor.tsx';
import type { Power } from './supply.tsx';
import { Works } from './works.tsx';

interface DrawingProps {
  readonly field: FieldView;
  /** null where nobody can flip anything from this page. */
  readonly power: Power | null;
}

export function Drawing({ field, power }: DrawingProps) {
  const at = (place: string): readonly FieldSensor[] =>
    field.sensors.filter((sensor) => sensor.place === place);
  const placed = { power, at };
  return (
    <div class="room">
      <Place place="room-high" {...placed} />
      <div class="unit">
        <Works runs={field.runs} />
        <Place place="cabinet" {...placed} />
        <Controller controller={field.controller} />
      </div>
      <Place place="room-low" {...placed} />
    </div>
  );
}

interface PlaceProps {
  readonly place: keyof typeof F.wall;
  readonly power: Power | null;
  readonly at: (place: string) => readonly FieldSensor[];
}

function Place({ place, power, at }: PlaceProps) {
  const sensors = at(place);
  return (
    <section class={`place place-${place}`} aria-label={F.wall[place]}>
      <h3>{F.wall[place]}</h3>
      {sensors.length === 0 && <p class="quiet">{F.noSensors}</p>}
      <ul class="spots">
        {sensors.map((sensor) => (
          <Sensor key={sensor.id} sensor={sensor} power={power} />
        ))}
      </ul>
    </section>
  );
}
