/** Every word of what a person can do to the bench, beside the part it is done to. */
import { exactDuration, formatGas } from '../../units/format.ts';

export const H = {
  faults: 'Faults',
  faultsOf: (part: string) => `Faults of ${part}`,
  wireOf: (part: string) => `the wire of ${part}`,
  lasts: 'Lasts',
  lastsTakes: 'a time such as 30 s; empty: until mended',
  testGasTakes: 'a time such as 30 s; empty: until taken away',
  probability: 'Probability',
  probabilityTakes: (chance: string) =>
    `from 0 to 1; empty: always, or the share that it speaks of; ${chance}`,
  chances: { 'each request': 'drawn anew at each request', once: 'drawn once, when it is put in' },
  putIn: 'Put in',
  holdsAddressOf: (part: string) => `holds the address of ${part}`,
  mend: 'Mend',
  kindOf: (kind: string, part: string) => `${kind} of ${part}`,
  mendAll: 'Mend all',
  standing: (kind: string) => `fault: ${kind}`,
  noChoice: 'not set',
  supply: 'Supply',
  ofPart: (part: string) => `of ${part}`,
  testGas: 'Test gas',
  testGasAt: (part: string) => `Test gas at ${part}`,
  testGasHeld: (level: number) => `test gas ${formatGas(level)} held at it`,
  level: 'Level',
  hold: 'Hold it',
  takeAway: 'Take it away',
  releaseGas: 'Release gas',
  releaseAt: 'At',
  releaseHow: 'How much',
  releaseWhole: 'whole charge, 4 min',
  releaseRate: (rate: string, lasts: string) => `${rate}, ${lasts}`,
  releaseOwn: 'own entry',
  rate: 'Rate',
  releaseEnd: 'Stop the release',
  releasing: 'Flows out now',
  calls: 'Calls',
  callNames: { cooling: 'Cooling', heating: 'Heating', fan: 'Fan' },
  fire: 'Fire signal',
  reset: 'Press service reset',
  controllerSupply: 'Controller supply',
  rigSupply: 'Supply of the whole rig',
  speed: 'Speed',
  times: (speed: number) => `${speed}×`,
  pause: 'Pause',
  goOn: 'Go on',
  toNextEvent: 'To the next event',
  stepping: 'on to the next event',
  restart: 'Start over',
  restartSays: 'New air, new sensors, equipment at rest; the events stay.',
} as const;

/** What a fault's parameter is called; one without a word here goes by its own name. */
export const PARAMETERS: Readonly<Record<string, string>> = {
  at: 'At',
  by: 'By',
  code: 'Code',
  every: 'Every',
  factor: 'Factor',
  halfLife: 'Comes back by half in',
  heard: 'What is heard',
  reads: 'Stands',
  t90: 'Time to 90 %',
  with: 'With',
};

/** The way in for somebody who sees the bench for the first time. */
export const GUIDE = {
  title: 'Begin here',
  call: 'Call cooling',
  release: 'Release gas',
  why: (output: string) => `Why is ${output} off?`,
  soon: {
    flows: 'The gas is on its way to a sensor …',
    stands: 'There is gas at the setpoint; a sensor will tell …',
    gone: 'Release gas again: what was let out is gone.',
  },
  stillOn: (output: string) =>
    `${output} is still on. A sensor that reports gas at the setpoint will stop it.`,
  done: 'done',
  close: 'Close this',
} as const;

/** A parameter of a standing fault. */
export function parameterText(name: string, value: unknown, isTime: boolean): string {
  return `${(PARAMETERS[name] ?? name).toLowerCase()} ${parameterValue(value, isTime)}`;
}

/** The bench holds a time in ms, and an amount as a value with its unit. */
export function parameterValue(value: unknown, isTime: boolean): string {
  if (typeof value === 'boolean') return value ? 'on' : 'off';
  if (typeof value === 'object' && value !== null && 'value' in value && 'unit' in value) {
    return `${String(value.value)} ${String(value.unit)}`;
  }
  return isTime ? exactDuration(Number(value)) : String(value);
}
