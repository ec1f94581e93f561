/** What a condition of a drill can speak of, and what it can say, from the tables of its reader. */
import { EXPRESSION_LENGTH_MAX, INSTEAD } from '../../../sim/drill/parse-expression.ts';
import { type SignalKind, signalsOf } from '../../../sim/drill/signals.ts';
import { unitsOf } from '../../units/index.ts';
import { rigOrStop } from '../rig-option.ts';
import { code, list, table } from './markdown.ts';

export function signalsTold(): string {
  const rows = [...signalsOf(rigOrStop(undefined).rig)].map(([name, signal]) => [
    code(name),
    signal.kind === 'state' ? signal.states.join(', ') : signal.kind,
  ]);
  const instead = Object.entries(INSTEAD).map(([sign, advice]) => [code(sign), advice]);
  return [
    list([...Object.values(SAID), ...WORDS]),
    '### Of the demo rig',
    table(['signal', 'is'], rows),
    '### Signs of other languages',
    table(['not', 'but'], instead),
  ].join('\n\n');
}

/** What is said of a signal; the tests read every condition here as a drill would. */
const SAID: Readonly<Record<SignalKind['kind'], string>> = {
  switch: 'A **switch** stands alone, and is true while it is on: `fan`, `not call.cooling`.',
  amount:
    'An **amount** is compared by `>=`, `>`, `<=` or `<` with `setpoint` or `clearBelow` of the rig, or with a ' +
    `number and its unit (${unitsOf('gas').join(', ')}): \`coil-a.gas >= setpoint\`, \`coil-a.reading < 5 %LFL\`.`,
  state: 'A **state** is told with `is`: `coil-b.state is failed`, `not coil-b.state is measuring`.',
};

const WORDS = [
  '`and`, `or`, `not` and parentheses join them; `not` binds closest, then `and`: ' +
    `\`fan and not (compressor.a or compressor.b)\`. At most ${EXPRESSION_LENGTH_MAX} characters.`,
  'The signal `gas` of a sensor is the true gas there, whatever the sensor says. `reading` and `state` are what it ' +
    'last answered on the wire, and none of them is true before the first answer; a reading without a ' +
    'valid number is neither above nor below anything. `answers` is on while its last request was answered.',
  '`fan`, `damper`, `heat`, `alarm`, `trouble` and the compressors are the commands of the controller; `airflow`, ' +
    'the calls and `fire` are its inputs.',
] as const;
