/** Plans that get one thing of the rig wrong, and the rule that must find the supervisor that believes them. */
import type { RuleId } from '../../sim/judge/rules.ts';
import type { Rig, Sensor } from '../../src/rig/index.ts';
import { ms, percentLfl, unitId } from '../../src/units/index.ts';
import { DEAF, UNNOTICED } from './mutant.ts';
import { withPolicy } from './supervised.ts';

export interface Mistold {
  /** What its plan gets wrong. */
  readonly name: string;
  readonly drill: string;
  readonly breaks: RuleId;
  readonly also?: readonly RuleId[];
  readonly believed: (rig: Rig) => Rig;
}

const MINUTE = 60_000;
/** Who is never asked has not answered that its self-test passed, and all the same something runs. */
const UNTESTED: readonly RuleId[] = ['start'];

const without =
  (id: string) =>
  (rig: Rig): Rig => ({ ...rig, sensors: rig.sensors.filter((sensor) => sensor.id !== id) });

const sensors =
  (change: (sensor: Sensor) => Sensor) =>
  (rig: Rig): Rig => ({ ...rig, sensors: rig.sensors.map(change) });

export const MISTOLD: readonly Mistold[] = [
  {
    name: 'leaves coil-a out',
    drill: 'test-gas-coil-b',
    breaks: 'ask',
    also: UNTESTED,
    believed: without('coil-a'),
  },
  {
    name: 'leaves out the sensor that the gas comes to',
    drill: 'test-gas-coil-a',
    breaks: 'ask',
    // Nobody asks, so nothing is reported; the true gas is there all the same.
    also: ['chain', ...UNTESTED],
    believed: without('coil-a'),
  },
  {
    name: 'looks for coil-b at another address',
    drill: 'ordinary-day',
    breaks: 'ask',
    believed: sensors((one) => (one.id === 'coil-b' ? { ...one, unitId: unitId(13) } : one)),
  },
  {
    name: 'leaves the contact out',
    drill: 'test-gas-grille',
    breaks: 'respond',
    also: DEAF,
    believed: without('grille'),
  },
  {
    name: 'gives silence a minute',
    drill: 'one-falls-silent',
    breaks: 'silent',
    also: UNNOTICED,
    believed: withPolicy({ silentAfterMs: ms(MINUTE) }),
  },
  {
    name: 'has a setpoint of 60 %LFL',
    drill: 'state-against-number',
    breaks: 'implausible',
    also: UNNOTICED,
    believed: withPolicy({ setpoint: percentLfl(60) }),
  },
  {
    name: 'plans no serial',
    drill: 'exchanged-sensors',
    breaks: 'identity',
    also: UNNOTICED,
    believed: sensors((one) => (one.kind === 'modbus' ? { ...one, serial: null } : one)),
  },
  {
    name: 'holds for four minutes',
    drill: 'short-leak',
    breaks: 'hold',
    believed: withPolicy({ holdMs: ms(4 * MINUTE) }),
  },
  {
    name: 'holds for twenty minutes',
    drill: 'test-gas-coil-a',
    breaks: 'resume',
    believed: withPolicy({ holdMs: ms(20 * MINUTE) }),
  },
  {
    name: 'holds for three minutes across a cut',
    drill: 'cut-in-the-hold',
    breaks: 'power-cut',
    believed: withPolicy({ holdMs: ms(3 * MINUTE) }),
  },
  {
    name: 'gives the fan five minutes',
    drill: 'fan-dead',
    breaks: 'prove-fan',
    also: UNNOTICED,
    believed: withPolicy({ fanProofWithinMs: ms(5 * MINUTE) }),
  },
  {
    name: 'rests no compressor',
    drill: 'flickering-call',
    breaks: 'short-cycle',
    believed: withPolicy({ compressorMinOffMs: ms(0) }),
  },
  {
    name: 'has the contact the wrong way round',
    drill: 'ordinary-day',
    breaks: 'resume',
    believed: sensors((one) => (one.kind === 'contact' ? { ...one, contact: 'closes-on-gas' } : one)),
  },
  {
    name: 'trips at half the setpoint',
    drill: 'ordinary-day',
    breaks: 'no-nuisance',
    believed: withPolicy({ setpoint: percentLfl(10), clearBelow: percentLfl(9) }),
  },
  {
    name: 'has no lock-out',
    drill: 'locked-out',
    breaks: 'latch',
    believed: withPolicy({ latchAfter: null }),
  },
  {
    name: 'locks out at the fourth gas',
    drill: 'third-trip',
    breaks: 'latch',
    believed: withPolicy({ latchAfter: { trips: 4, withinMs: ms(1440 * MINUTE) } }),
  },
];
