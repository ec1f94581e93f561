/** The switch in somebody's supply: a sensor's, the controller's, the whole rig's. */
import { cutStep, restoreStep } from '../data/steps.ts';
import { OnOff } from '../parts/on-off.tsx';
import { H } from '../texts/index.ts';
import { Act } from './act.tsx';

interface SupplyProps {
  /** `controller`, `rig` or a sensor. */
  readonly of: string;
  readonly on: boolean;
  readonly word?: string;
}

export function Supply({ of, on, word }: SupplyProps) {
  return (
    <Act
      name={`supply ${of}`}
      word={word ?? H.supply}
      {...(word === undefined ? { heard: H.ofPart(of) } : {})}
      pressed={on}
      weight="small"
      extra={<OnOff on={on} />}
      ask={({ api }) => api.step(on ? cutStep(of, '') : restoreStep(of))}
    />
  );
}
