/** One sensor of the unit: its lamp; on a tap its label, what the plan says, and its supply switch. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import type { FieldSensor } from '../class/types.ts';
import { LampFace } from '../parts/lamp.tsx';
import { OnOff } from '../parts/on-off.tsx';
import { F } from '../texts/field.ts';
import { lampWords, placeText } from '../texts/index.ts';
import { type Power, Supply } from './supply.tsx';

interface SensorProps {
  readonly sensor: FieldSensor;
  readonly power: Power | null;
}

export function Sensor({ sensor, power }: SensorProps) {
  const open = useSignal(false);
  const detail = useId();
  const { id, lamp } = sensor;
  return (
    <li class={open.value ? 'spot is-open' : 'spot'}>
      <button
        type="button"
        class="spot-face"
        aria-expanded={open.value}
        aria-controls={detail}
        onClick={() => {
          open.value = !open.value;
        }}
      >
        <LampFace lamp={lamp} />
        <span class="spot-name">{id}</span>
        <span class="spot-lamp">
          {sensor.kind === 'contact' && lamp === null ? F.contact : lampWords(lamp)}
        </span>
      </button>
      <div id={detail} class="spot-detail" hidden={!open.value}>
        {open.value && <Detail sensor={sensor} power={power} />}
      </div>
    </li>
  );
}

function Detail({ sensor, power }: SensorProps) {
  return (
    <>
      <Label sensor={sensor} />
      <p>
        {F.supply}: <OnOff on={sensor.switchedOn} words={F.supplyWords} />
      </p>
      {power !== null && <Supply sensor={sensor.id} on={sensor.switchedOn} power={power} />}
      <Legend sensor={sensor} />
    </>
  );
}

/** Label and plan side by side, and no word on whether they agree: that is for whoever reads them. */
function Label({ sensor: { label, plan, place, plannedPlace } }: { readonly sensor: FieldSensor }) {
  return (
    <table class="labels">
      <thead>
        <tr>
          <td />
          <th scope="col">{F.found}</th>
          <th scope="col">{F.plan}</th>
        </tr>
      </thead>
      <tbody>
        <Row name={F.place} found={placeText(place)} plan={placeText(plannedPlace)} />
        {label !== null && (
          <>
            <Row name={F.part} found={label.part} plan="" />
            <Row name={F.serial} found={label.serial} plan={plan?.serial ?? F.notPlanned} />
            <Row
              name={F.address}
              found={F.addressSet(label.address)}
              plan={plan === null ? F.notPlanned : String(plan.address)}
            />
          </>
        )}
      </tbody>
    </table>
  );
}

interface RowProps {
  readonly name: string;
  readonly found: string;
  readonly plan: string;
}

function Row({ name, found, plan }: RowProps) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{found}</td>
      <td>{plan}</td>
    </tr>
  );
}

function Legend({ sensor: { legend } }: { readonly sensor: FieldSensor }) {
  if (legend.length === 0) return null;
  return (
    <details class="lamp-legend">
      <summary>{F.lampSays}</summary>
      <ul>
        {legend.map((lamp) => (
          <li key={`${lamp.colour} ${lamp.hz}`}>
            <LampFace lamp={lamp} />
            <span>{lampWords(lamp)}</span>
          </li>
        ))}
      </ul>
    </details>
  );
}
