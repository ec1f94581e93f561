/** What a controller does not ask for, and what it writes in vain. */
import { describe, expect, test } from 'vitest';
import {
  Asking,
  askingCoilA,
  BOTH,
  COIL_A,
  COIL_B,
  RIGHT_A,
  RIGHT_B,
  read,
  registers,
  rightCycle,
  rigWithCoilB,
} from './asking.ts';

describe('a sensor whose number alone is asked for', () => {
  test('is told with all that would say what the number is worth', () => {
    const asking = askingCoilA(read(4, 2, 2));
    expect(asking.said()).toEqual(['number-alone']);
    expect(asking.text('number-alone')).toBe(
      'coil-a (unit 11 on line main) is asked for its number (gasPercentLfl), never for: state (input registers, 0), ' +
        'gasBit (input registers, 1), selfTestPassed (input registers, 1), failedBit (input registers, 1), ' +
        'faultCode (input registers, 5) and counter (input registers, 10). A sensor that has failed, warms up or ' +
        'stands still may show a number all the same: ask for what tells it apart from clean air.',
    );
  });

  test('is told though a survey asked for all of it once', () => {
    const asking = new Asking();
    asking.ask(...RIGHT_A);
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [[COIL_A, read(4, 2, 1)], RIGHT_B]);
    });
    expect(asking.said()).toEqual(['number-alone']);
  });

  test.each([0, 1, 5, 10])('is not told where register %d is asked for as well', (address) => {
    expect(askingCoilA(read(4, 2, 1), read(4, address, 1)).said()).toEqual([]);
  });

  test('is not told of one that does not answer, nor of a profile that has nothing else', () => {
    const silent = new Asking();
    silent.world.unpowered.add('coil-a');
    for (const unit of silent.world.units) silent.world.supply(unit);
    silent.timeoutMs = 50;
    silent.cycles(40, 1000, () => {
      rightCycle(silent, [[COIL_A, read(4, 2, 1)], RIGHT_B]);
    });
    expect(silent.said()).not.toContain('number-alone');
    const rig = rigWithCoilB({});
    for (const sensor of rig.sensors) {
      if (sensor.kind === 'contact') continue;
      const { gasPercentLfl } = sensor.codec.profile.points;
      Object.assign(sensor.codec.profile, { points: { gasPercentLfl } });
    }
    const bare = new Asking(rig);
    bare.cycles(40, 1000, () => {
      rightCycle(bare, [
        [COIL_A, read(4, 2, 1)],
        [COIL_B, read(4, 2, 1)],
      ]);
    });
    expect(bare.said()).toEqual([]);
  });
});

describe('a write that a sensor refuses', () => {
  test.each([
    ['to a register that it does not have', registers(40, 7), 'It has nothing there'],
    ['of a single register that it does not have', [6, 0, 40, 0, 7], 'It has nothing there'],
    ['while its registers are locked', [6, 0, 0, 0, 12], 'Nothing that is written there has any effect'],
    ['of a command that it does not know', [6, 0, 1, 0, 99], 'see which values it takes'],
  ])('%s, again and again, is told', (_, pdu, says) => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [...BOTH, [COIL_A, pdu]]);
    });
    expect(asking.report().lines[0]?.units[0]?.exceptions).toHaveLength(1);
    expect(asking.said()).toEqual(['refused']);
    expect(asking.text('refused')).toContain(says);
  });
});
