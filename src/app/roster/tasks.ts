/** What a person does at a sensor on a round, in the order of work, and who asks for it. */
import type { Sensor } from '../../rig/index.ts';

export interface Task {
  readonly text: string;
  /** null: common practice, no source, which the sheet says once for all of them. */
  readonly source: string | null;
}

const practice = (text: string): Task => ({ text, source: null });

const LOOK: readonly Task[] = [
  practice('Part and serial on the label are as listed'),
  practice('Inlet free; no dirt, water, paint or damage; mounted where it is planned'),
  practice('Cable and plug sound, under no strain'),
];

const TRY: Readonly<Record<Sensor['kind'], readonly Task[]>> = {
  modbus: [
    practice('After power was given back: self-test passed, lamp and state say measuring'),
    practice('Cable off: trouble, and all that gas would do; then plugged in again'),
  ],
  contact: [
    practice('Without gas the contact stands as planned'),
    practice('Wire off: gas, where it opens on gas; one that closes on gas cannot tell, write that down'),
  ],
};

const GAS: readonly Task[] = [
  {
    text: 'Reference gas at or above the setpoint: alarm, fan on, dampers open, compressors and heat off',
    source: 'the gas: RD 552/2019 IF-16 3.3 (seen); what must follow: the rules of the bench',
  },
  practice('Gas taken away: back to normal by itself, and not before the hold has passed'),
];

export const ROUND: readonly Task[] = [
  practice('Nothing is left bypassed, jumpered or masked'),
  practice('Lock-outs are reset, alarm and trouble are off, the equipment is back in service'),
  practice('Parts that failed or whose life is over are replaced, and the rig file says so'),
  practice('The day of this check is written in the rig file, as checked'),
];

export function tasksFor(kind: Sensor['kind']): readonly Task[] {
  return [...LOOK, ...TRY[kind], ...GAS];
}
