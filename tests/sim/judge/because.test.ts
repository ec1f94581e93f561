/** What a result says: the tightest case, in a sentence or two that can be checked against the trace. */
import { expect, test } from 'vitest';
import type { JudgedPolicy, RuleId, Trace } from '../../../sim/judge/index.ts';
import { during, GAS, mitigating, sensor, trace, verdict, WARMING } from './trace-builder.ts';

const LENGTH_S = 900;
const gas = [sensor('coil-a', LENGTH_S, during(10, 400, GAS))];
const mitigated = trace(LENGTH_S, {
  sensors: gas,
  outputs: { ...mitigating([[12, 750]]), alarm: [[12, 750]] },
});
const called = { 'call.cooling': [[0, LENGTH_S]], airflow: [[0, LENGTH_S]] } as const;

const CASES: readonly (readonly [RuleId, Trace, Partial<JudgedPolicy>, number, readonly string[]])[] = [
  [
    'respond',
    mitigated,
    {},
    10_000,
    [
      'coil-a reported gas, 25 %LFL, at 0:00:10; counted from 0:00:10.',
      'Mitigation was reached at 0:00:12 (fan commanded on, dampers commanded open), after 2 s.',
      'The limit is 15 s (respondWithin of the rig): met with 13 s to spare.',
    ],
  ],
  [
    'stay-off',
    mitigated,
    {},
    310_000,
    [
      'The episode began at 0:00:10: coil-a reported gas, 25 %LFL, at 0:00:10.',
      'Mitigation was not left while a reason held, the last time until 0:05:10.',
    ],
  ],
  [
    'hold',
    mitigated,
    {},
    750_000,
    [
      'coil-a reported gas, 25 %LFL, at 0:00:10; the last reason ended at 0:06:39.',
      'Mitigation was left at 0:12:30 (fan not commanded on, dampers not commanded open), 5 min 51 s later.',
      'The limit is 5 min (hold of the rig): met with 51 s to spare.',
    ],
  ],
  [
    'hold',
    trace(720, { sensors: gas, outputs: mitigating([[12, 750]]) }),
    {},
    720_000,
    [
      'coil-a reported gas, 25 %LFL, at 0:00:10; the last reason ended at 0:06:39.',
      'Mitigation was still standing at 0:12:00, 5 min 21 s later.',
      'The limit is 5 min (hold of the rig): met with 21 s to spare.',
    ],
  ],
  [
    'announce',
    { ...mitigated, inputs: trace(LENGTH_S, { inputs: { airflow: [[0, LENGTH_S]] } }).inputs },
    {},
    399_000,
    [
      'coil-a reported gas, 25 %LFL, at 0:00:10; alarm was due from 0:00:25 until 0:06:39.',
      'It was on all the while.',
    ],
  ],
  [
    'power-cut',
    trace(LENGTH_S, {
      sensors: gas,
      outputs: mitigating([[12, 750]]),
      controllerPower: [
        [0, 450],
        [460, LENGTH_S],
      ],
    }),
    {},
    699_000,
    [
      'coil-a reported gas, 25 %LFL, at 0:00:10; the controller lost its power at 0:07:30, in mitigation.',
      'The last reason ended at 0:06:39, the hold at 0:11:39.',
      'Power was back at 0:07:40; what follows is counted from 0:07:55 on, ' +
        'no sooner than respondWithin (15 s) later.',
      'Mitigation stood from 0:07:55 to 0:11:39.',
    ],
  ],
  [
    'start',
    trace(LENGTH_S, {
      sensors: [
        sensor('coil-a', LENGTH_S, (atS) => (atS < 30 ? WARMING : {})),
        sensor('coil-b', LENGTH_S, (atS) => (atS < 20 ? WARMING : {})),
      ],
      inputs: called,
    }),
    {},
    30_000,
    [
      'The whole rig powered up at 0:00:00; coil-a had not answered that its self-test passed.',
      'Compressors and heat stayed off from 0:00:00 to 0:00:30.',
    ],
  ],
  [
    'prove-fan',
    trace(LENGTH_S, {
      outputs: { fan: [[10, 300]], 'compressor.a': [[10, 24]] },
      inputs: { 'call.cooling': [[0, LENGTH_S]] },
    }),
    {},
    24_000,
    [
      'The fan was commanded without airflow for 10 s (fanProofWithin) by 0:00:20; no airflow before 0:15:00.',
      'Compressors and heat were off from 0:00:24 on.',
      'The limit is 15 s (respondWithin of the rig): met with 11 s to spare.',
    ],
  ],
  [
    'short-cycle',
    trace(LENGTH_S, { outputs: { 'compressor.a': [[0, 600]] }, inputs: called }),
    {},
    900_000,
    [
      'Compressor a was switched off at 0:10:00 and was still off at 0:15:00, 5 min later.',
      'The limit is 3 min (compressorMinOff of the rig): met with 2 min to spare.',
    ],
  ],
  [
    'latch',
    { ...mitigated, inputs: trace(LENGTH_S, { inputs: called }).inputs },
    { latchAfter: { trips: 1, withinMs: 3_600_000 } },
    900_000,
    [
      'The last of the gas episodes that locked the rig began at 0:00:10, the first at 0:00:10; no service reset had unlocked it before 0:15:00.',
      'Compressors and heat stayed off from 0:00:25 to 0:15:00.',
    ],
  ],
  [
    'no-nuisance',
    trace(LENGTH_S, { outputs: { 'compressor.a': [[0, 600]] }, inputs: called }),
    {},
    600_000,
    [
      'The last output that served a standing call went off at 0:10:00.',
      'There had been no reason, and no beginning of one, since 0:00:00.',
      'The limit is 20 s (silentAfter and respondWithin of the rig): missed by 9 min 40 s.',
    ],
  ],
  [
    'no-nuisance',
    trace(LENGTH_S, { outputs: { 'compressor.a': [[0, 600]] }, inputs: { ...called, airflow: [[0, 590]] } }),
    {},
    600_000,
    [
      'The last output that served a standing call went off at 0:10:00.',
      'The last reason or beginning of one was 0 ms before.',
      'The limit is 20 s (silentAfter and respondWithin of the rig): met with 20 s to spare.',
    ],
  ],
  [
    'no-nuisance',
    trace(LENGTH_S, { outputs: { 'compressor.a': [[0, LENGTH_S]] }, inputs: called }),
    {},
    900_000,
    ['A standing call was served until 0:15:00; nothing stopped it while it stood.'],
  ],
  [
    'no-nuisance',
    trace(LENGTH_S, {
      outputs: { 'compressor.a': [[0, LENGTH_S]] },
      inputs: {
        ...called,
        'call.cooling': [
          [0, 400],
          [500, 800],
        ],
      },
    }),
    {},
    800_000,
    ['A standing call was served until 0:13:20; nothing stopped it while it stood.'],
  ],
  [
    'fire',
    trace(LENGTH_S, { outputs: { fan: [[0, 13]] }, inputs: { fire: [[10, 60]] } }),
    {},
    13_000,
    [
      'The fire signal stood from 0:00:10 to 0:01:00.',
      'Fan, heat and compressors were off from 0:00:13 on.',
      'The limit is 5 s (a choice of this bench): met with 2 s to spare.',
    ],
  ],
];

test.each(CASES)('%s says why, and when (%#)', (rule, judged, policy, atMs, because) => {
  expect(verdict(rule, judged, policy)).toMatchObject({ atMs, because });
});
