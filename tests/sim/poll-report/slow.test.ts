/** Mistakes of time: what holds the others up, and who is asked too seldom or no longer. */
import { describe, expect, test } from 'vitest';
import { Asking, BOTH, COIL_B, command, IO, RIGHT_A, RIGHT_B, read, rightCycle } from './asking.ts';

describe('a silent device that holds up the others', () => {
  /** Waits a second, tries three times, then sleeps as always. */
  function stalling(tries: number, timeoutMs: number, healthy: number): Asking {
    const asking = new Asking();
    asking.timeoutMs = timeoutMs;
    const cycle = (): void => {
      asking.ask(IO, read(2, 0, 26));
      asking.ask(...RIGHT_A);
      for (let left = tries; left > 0 && !asking.ask(...RIGHT_B); left -= 1);
      command(asking);
      asking.nowMs += 800;
    };
    asking.cycles(healthy, 0, cycle);
    asking.world.unpowered.add('coil-b');
    for (const unit of asking.world.units) asking.world.supply(unit);
    return asking.cycles(15, 0, cycle);
  }

  test('is told by how the polls of the others grow', () => {
    const asking = stalling(3, 1000, 20);
    expect(asking.said()).toEqual(['silent-stalls-others']);
    expect(asking.text('silent-stalls-others')).toMatch(
      /^While coil-b \(unit 12\) on line main does not answer, all others wait: .* is asked every 3\.8 s, instead of every 850 ms\./u,
    );
  });

  test('is told though it never answered at all', () => {
    const asking = stalling(3, 1000, 0);
    expect(asking.said()).toEqual(['silent-stalls-others']);
    expect(asking.text('silent-stalls-others')).toContain('and 3 s of that is waiting');
  });

  test('is not told of one that is tried once and briefly', () => {
    expect(stalling(1, 150, 20).said()).toEqual([]);
  });

  /** The address of coil-b mistyped, and a controller that gives up late; commands feed the watchdog. */
  function mistyped(cycles: number, units: readonly number[] = [22]): Asking {
    const asking = new Asking();
    asking.timeoutMs = 4000;
    return asking.cycles(cycles, 1000, () => {
      rightCycle(asking, [RIGHT_A]);
      for (const unit of units)
        for (let tries = 0; tries < 4; tries += 1) {
          asking.ask(unit, read(4, 0, 19));
          command(asking);
        }
    });
  }

  test('is told though nobody is planned there, before what follows from it and in its place', () => {
    const asking = mistyped(4);
    expect(asking.said()).toEqual(['nobody-there', 'never-asked', 'silent-stalls-others']);
    expect(asking.text('silent-stalls-others')).toBe(
      'While unit 22 on line main does not answer, all others wait: coil-a (unit 11) went 16.1 s without being asked, ' +
        'and 16 s of that was waiting. Nobody is planned there: take 22 out of the poll, or correct the address.',
    );
    expect(mistyped(20).said()).toEqual(['nobody-there', 'never-asked', 'silent-stalls-others']);
  });

  test('is told from the first cycle on, of the sensor that answers', () => {
    const asking = mistyped(1, [22, COIL_B]);
    expect(asking.said()).not.toContain('no-longer-asked');
    expect(asking.text('silent-stalls-others')).toMatch(
      /^While unit 22 on line main .* coil-a \(unit 11\) went/u,
    );
  });

  test('is told of two of them, each of which holds up the other too', () => {
    const asking = mistyped(0);
    asking.world.unpowered.add('coil-b');
    for (const unit of asking.world.units) asking.world.supply(unit);
    asking.cycles(2, 1000, () => {
      for (const unit of [22, 22, 22, 22, COIL_B, COIL_B, COIL_B]) {
        asking.ask(unit, read(4, 0, 19));
        command(asking);
      }
    });
    expect(asking.text('silent-stalls-others')).toBe(
      'While coil-b (unit 12) and unit 22 on line main do not answer, all others wait: coil-b (unit 12) went 20.1 s ' +
        'without being asked, and 16 s of that was waiting. Ask a silent device once a cycle, without retries, or ' +
        'only now and then, until it answers again.',
    );
  });

  test('does not excuse a cycle that is too slow without the waiting', () => {
    const asking = new Asking();
    asking.timeoutMs = 4000;
    asking.cycles(6, 28_000, () => {
      rightCycle(asking, [RIGHT_A]);
      for (let tries = 0; tries < 4; tries += 1) asking.ask(22, read(4, 0, 19));
      for (let second = 0; second < 12; second += 4) {
        command(asking);
        asking.nowMs += 3950;
      }
    });
    expect(asking.said()).toContain('too-slow');
  });
});

describe('polls that come too seldom', () => {
  test('are told with the gap and the limit', () => {
    const asking = new Asking();
    asking.cycles(8, 12_000, () => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      for (let second = 0; second < 4; second += 1) {
        command(asking);
        asking.nowMs += 2950;
      }
    });
    expect(asking.said()).toEqual(['too-slow', 'too-slow', 'too-slow']);
    expect(asking.text('too-slow')).toContain('coil-a (unit 11 on line main) went 12 s without being asked');
    expect(asking.text('too-slow')).toContain('the rig allows 10 s');
    expect(asking.text('too-slow')).not.toContain('cannot be in mitigation');
  });

  test('are told of one sensor alone, and of a gap past the response limit', () => {
    const asking = new Asking();
    asking.cycles(60, 1000, (turn) => {
      rightCycle(asking, turn % 20 === 0 ? BOTH : [RIGHT_A]);
    });
    expect(asking.said()).toEqual(['too-slow']);
    expect(asking.text('too-slow')).toContain('cannot be in mitigation within 15 s');
  });

  test('are told as left out where a survey alone has asked, once it is long ago', () => {
    const asking = new Asking();
    asking.ask(COIL_B, read(4, 0, 1));
    asking.ask(COIL_B, read(4, 0, 19));
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [RIGHT_A]);
    });
    expect(asking.said()).toEqual(['no-longer-asked']);
    expect(asking.text('no-longer-asked')).toBe(
      'coil-b (unit 12 on line main) has not been asked for 39 s, while others on the line were, and 2 times before: ' +
        'add it to what the controller polls, or see why it was given up.',
    );
  });

  test('are told as left out where one was polled, and is no longer', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      rightCycle(asking);
    });
    asking.cycles(21, 1000, () => {
      rightCycle(asking, [RIGHT_A]);
    });
    expect(asking.said()).toEqual(['no-longer-asked']);
    asking.cycles(20, 1000, () => {
      rightCycle(asking);
    });
    expect(asking.said()).toEqual(['too-slow']);
  });

  test('are told of the inputs of the field I/O, which is still written to', () => {
    const asking = new Asking();
    asking.cycles(20, 1000, () => {
      rightCycle(asking);
    });
    asking.cycles(40, 1000, () => {
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      command(asking);
    });
    expect(asking.said()).toEqual(['no-longer-asked']);
    expect(asking.text('no-longer-asked')).toMatch(
      /^The field I\/O .* has not had its inputs read for 40 s, while/u,
    );
  });

  test('say no average of what was asked only now and then', () => {
    const asking = new Asking();
    asking.cycles(60, 1000, (turn) => {
      rightCycle(asking, turn % 18 === 0 ? BOTH : [RIGHT_A]);
    });
    expect(asking.text('too-slow')).not.toContain('on average');
  });
});
