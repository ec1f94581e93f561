/** A pause of the whole line is told once and of nobody; a pace of bursts is told of everybody. */
import { describe, expect, test } from 'vitest';
import { Asking, BOTH, COIL_A, COIL_B, command, IO, read, rightCycle } from './asking.ts';

function sound(asking: Asking, seconds: number): Asking {
  return asking.cycles(seconds, 1000, () => {
    rightCycle(asking);
  });
}

/** What a survey asks of each address, and it asks nothing twice. */
function survey(asking: Asking): void {
  const { timeoutMs } = asking;
  asking.timeoutMs = 50;
  for (let unit = 1; unit <= 247; unit += 1) {
    asking.ask(unit, read(4, 0, 1));
    if (unit === COIL_A || unit === COIL_B) asking.ask(unit, read(4, 0, 19));
  }
  asking.timeoutMs = timeoutMs;
}

describe('a pause of the whole line', () => {
  test.each([1, 2, 3, 8, 60])('is told once, after %d s of asking, and no unit is blamed', (seconds) => {
    const asking = sound(new Asking(), seconds);
    asking.nowMs += 15_000;
    sound(asking, 40);
    expect(asking.said()).toEqual(['paused']);
    expect(asking.report().lines[0]?.pauses).toMatchObject({ count: 1 });
  });

  test('is told with its length and its end, and how to tell what it was', () => {
    const asking = sound(new Asking(), 20);
    asking.nowMs += 15_000;
    sound(asking, 40);
    expect(asking.text('paused')).toBe(
      'On line main nobody was asked anything for 16 s, until 0:00:35 of bench time. A restart of the controller ' +
        'looks like that, and so does a survey some time before it starts. If it was neither, look for what ' +
        'holds the whole controller up: meanwhile it hears of no gas.',
    );
  });

  test('is told after a survey, at any moment of what follows', () => {
    const asking = new Asking();
    survey(asking);
    asking.nowMs += 15_000;
    asking.cycles(40, 1000, () => {
      rightCycle(asking);
      expect(asking.said()).toEqual(['paused']);
    });
  });

  test('is counted where it comes again after a stretch of asking, however short', () => {
    const asking = new Asking();
    for (const seconds of [4, 40, 5, 6, 4, 90]) {
      sound(asking, seconds);
      asking.nowMs += 30_000;
    }
    sound(asking, 20);
    expect(asking.said()).toEqual(['paused']);
    expect(asking.text('paused')).toMatch(
      /^On line main nobody was asked anything 6 times, for 31 s at most, the last/u,
    );
  });

  test('is not told of a power cut, nor of one shorter than the watchdog allows', () => {
    const asking = sound(new Asking(), 20);
    asking.nowMs += 3900;
    expect(sound(asking, 20).said()).toEqual([]);
  });

  test('does not hide that a sensor is left out afterwards', () => {
    const asking = sound(new Asking(), 20);
    asking.nowMs += 15_000;
    asking.cycles(40, 1000, () => {
      rightCycle(asking, BOTH.slice(0, 1));
    });
    expect(asking.said()).toEqual(['no-longer-asked', 'paused']);
  });
});

describe('polls in bursts', () => {
  function bursts(times: number, everyMs: number, cycles: number): Asking {
    const asking = new Asking();
    return asking.cycles(times, everyMs, () => {
      for (let turn = 0; turn < cycles; turn += 1) rightCycle(asking);
    });
  }

  test.each([1, 2])('are a pace, each of %d cycles: every unit is asked too seldom', (cycles) => {
    const asking = bursts(8, 15_000, cycles);
    expect(asking.said()).toEqual(['commands-missing', 'too-slow', 'too-slow', 'too-slow']);
    expect(asking.text('too-slow')).toContain('coil-a (unit 11 on line main) went 15 s without being asked');
  });

  test('are told though the first two pauses may be anything', () => {
    expect(bursts(3, 15_000, 1).said()).toEqual(['paused']);
    expect(bursts(4, 15_000, 1).said()).toContain('too-slow');
  });

  test('are told beside a pause from before them', () => {
    const asking = sound(new Asking(), 40);
    asking.nowMs += 60_000;
    sound(asking, 40);
    asking.cycles(8, 15_000, () => {
      rightCycle(asking);
    });
    expect(asking.said()).toEqual(['commands-missing', 'paused', 'too-slow', 'too-slow', 'too-slow']);
    expect(asking.report().lines[0]?.pauses.count).toBe(1);
  });

  test('are told where each asks for one sensor, of which there is no other on the line', () => {
    const asking = new Asking();
    asking.cycles(12, 12_000, () => {
      asking.ask(COIL_A, read(4, 0, 19));
    });
    expect(asking.said()).toContain('too-slow');
  });

  test('slower than the watchdog, but within askWithin, are told of the commands', () => {
    const asking = new Asking();
    asking.cycles(20, 8000, () => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      command(asking);
    });
    expect(asking.said()).toEqual(['commands-missing']);
  });
});
