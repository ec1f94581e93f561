/** Each row of the advice table: one mistake in an otherwise right controller, and what is said of it. */
import { describe, expect, test } from 'vitest';
import type { Observation } from '../../../sim/world/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import {
  Asking,
  askingCoilA,
  BOTH,
  COIL_A,
  COIL_B,
  coils,
  command,
  IO,
  RIGHT_A,
  RIGHT_B,
  read,
  registers,
  rightCycle,
  rigWithCoilB,
  rigWithLine,
} from './asking.ts';

/** One whose coil-b is of another profile, asked as given. */
function askingFloats(...pdus: readonly (readonly number[])[]): Asking {
  const asking = new Asking(rigWithCoilB({ profile: 'holding-floats' }));
  return asking.cycles(40, 1000, () => {
    rightCycle(asking, [RIGHT_A, ...pdus.map((pdu) => [COIL_B, pdu] as const)]);
  });
}

describe('register numbers counted from 1', () => {
  test('are told by a read that begins one late and never at the beginning', () => {
    const asking = askingCoilA(read(4, 1, 8));
    expect(asking.said()).toEqual(['counts-from-1']);
    expect(asking.text('counts-from-1')).toBe(
      'coil-a (unit 11 on line main) is asked for registers 1 to 8 (function 04) and never at 0 (state), where its ' +
        'profile begins: is your controller counting from 1? In a request addresses count from 0; take one off ' +
        'each number.',
    );
  });

  test('are told though the read goes past the end and is refused', () => {
    expect(askingCoilA(read(4, 1, 19)).said()).toEqual(['counts-from-1']);
  });

  test('are told by a float that is cut, in a profile that begins elsewhere', () => {
    const asking = askingFloats(read(3, 33, 2), read(3, 48, 2));
    expect(asking.said()).toEqual(['counts-from-1']);
    expect(asking.text('counts-from-1')).toContain('never at 32 (gasPercentLfl)');
  });

  test('are told at the coils of the field I/O, beside what is missing there', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      for (const coil of [1, 2, 3, 4, 5, 9]) asking.ask(IO, [5, 0, coil, 0, 0]);
    });
    expect(asking.said()).toEqual(['counts-from-1', 'commands-missing']);
  });

  test('are not told where the beginning is asked for as well', () => {
    expect(askingCoilA(read(4, 1, 8), read(4, 0, 1)).said()).toEqual([]);
  });
});

describe('input and holding registers mixed up', () => {
  test('are told where only holding registers are asked for and the profile has inputs', () => {
    const asking = askingCoilA(read(3, 0, 11));
    expect(asking.said()).toEqual(['tables-mixed-up']);
    expect(asking.text('tables-mixed-up')).toContain(
      'registers 0 to 10 (function 03), which are holding registers',
    );
    expect(asking.text('tables-mixed-up')).toContain('use function 04');
  });

  test('are told the other way round', () => {
    const asking = askingFloats(read(4, 32, 10));
    expect(asking.said()).toEqual(['tables-mixed-up']);
    expect(asking.text('tables-mixed-up')).toContain('use function 03');
  });

  test('are told of the field I/O, whose calls are not coils', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      asking.ask(IO, read(1, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      command(asking);
    });
    expect(asking.said()).toEqual(['tables-mixed-up', 'never-asked']);
    expect(asking.text('never-asked')).toContain('grille is a contact on input 8');
  });
});

describe('the word order of 32-bit numbers', () => {
  test('is told by a float that makes sense only turned round', () => {
    const asking = askingFloats(read(3, 32, 34));
    expect(asking.said()).toEqual([]);
    asking.ask(COIL_B, registers(36, 0x41a0, 0x0000));
    expect(asking.said()).toEqual(['word-order']);
    expect(asking.text('word-order')).toContain('its profile has the low word first');
  });

  test('is not blamed for one that is written right', () => {
    const asking = askingFloats(read(3, 32, 34));
    asking.ask(COIL_B, registers(36, 0x0000, 0x41a0));
    asking.ask(COIL_B, registers(36, 0, 0));
    expect(asking.said()).toEqual([]);
  });

  test('is asked after where a number is read in two halves', () => {
    const asking = askingCoilA(read(4, 0, 7), read(4, 7, 12));
    expect(asking.said()).toEqual(['word-order']);
    expect(asking.text('word-order')).toContain('its hours is one 32-bit number in registers 6 to 7');
  });

  test('is asked after where half a number is all that is read', () => {
    expect(askingFloats(read(3, 32, 1), read(3, 48, 2)).said()).toEqual(['word-order']);
  });

  test('is not asked after where a long read happens to end inside a number', () => {
    expect(askingCoilA(read(4, 0, 7)).said()).toEqual([]);
  });

  test('is said to stay hidden in reads', () => {
    expect(new Asking().report().unseen.join(' ')).toContain('high word of a 32-bit number');
  });
});

describe('unit ids that are no device', () => {
  test.each([0, 255])('%d is told', (unit) => {
    const asking = new Asking();
    asking.timeoutMs = 50;
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [...BOTH, [unit, read(4, 0, 19)]]);
    });
    expect(asking.said()).toEqual(['unit-0-or-255']);
    expect(asking.text('unit-0-or-255')).toContain(`asked at unit id ${unit}, 40 times`);
    expect(asking.text('unit-0-or-255')).toContain('11 (coil-a), 12 (coil-b) and 200 (field I/O)');
  });

  test('a broadcast that writes is right', () => {
    const asking = new Asking();
    asking.timeoutMs = 0;
    asking.cycles(40, 1000, () => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      asking.ask(0, coils(0, 5));
      asking.ask(0, coils(8, 2));
    });
    expect(asking.said()).toEqual([]);
  });
});

describe('the same address twice', () => {
  test('is told where two are planned at it', () => {
    const asking = new Asking(rigWithCoilB({ unitId: COIL_A }));
    asking.timeoutMs = 50;
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [RIGHT_A]);
    });
    expect(asking.said()).toContain('planned-twice');
    expect(asking.text('planned-twice')).toMatch(/^coil-a and coil-b are both planned at unit 11/u);
  });

  test('is told where one range is asked under two functions', () => {
    const asking = askingFloats(read(3, 32, 34), read(4, 32, 34));
    expect(asking.said()).toEqual(['two-functions']);
    expect(asking.text('two-functions')).toContain('with function 03 and with function 04');
  });

  test.each([
    ['at the same rate', 1000, 1000, 400],
    ['at two rates', 1000, 700, 130],
    ['one close behind the other', 1000, 1000, 60],
  ])('is told where two controllers ask, %s', (_, everyMs, otherMs, afterMs) => {
    const asking = new Asking();
    const due = [0, afterMs];
    for (let turn = 0; turn < 100; turn += 1) {
      const first = (due[0] ?? 0) <= (due[1] ?? 0);
      asking.nowMs = Math.max(asking.nowMs, Math.min(...due));
      if (first) rightCycle(asking);
      else asking.ask(COIL_A, read(4, 0, 19));
      if (first) due[0] = (due[0] ?? 0) + everyMs;
      else due[1] = (due[1] ?? 0) + otherMs;
    }
    expect(asking.said()).toEqual(['asked-twice']);
    expect(asking.text('asked-twice')).toMatch(
      /^coil-a \(unit 11 on line main\) is asked .* two interleaved/u,
    );
  });
});

describe('a time-out shorter than the line needs', () => {
  const PACE = { baud: 9600, parity: 'even', stopBits: 1, timeoutMs: ms(200) } as const;

  /** Asks over a gateway, giving up after so long; what comes while the line is taken waits. */
  function impatient(patienceMs: number, again: boolean): Asking {
    const asking = new Asking(rigWithLine({ pace: PACE }));
    const free = (unit: number, pdu: readonly number[]): void => {
      asking.ask(unit, pdu);
    };
    asking.cycles(40, 1000, () => {
      free(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) {
        const cameMs = asking.nowMs;
        free(unit, pdu);
        if (asking.nowMs - cameMs <= patienceMs) continue;
        const late = {
          line: 'main',
          unitId: again ? unit : IO,
          pdu: Uint8Array.from(again ? pdu : coils(0, 5)),
        };
        const waits: Observation = { kind: 'waits', atMs: ms(cameMs + patienceMs), ...late };
        asking.fold.observe(waits);
        free(late.unitId, [...late.pdu]);
      }
      command(asking);
    });
    return asking;
  }

  test('is told where the same is asked again while the answer is on its way', () => {
    const asking = impatient(30, true);
    expect(asking.said()).toEqual(['timeout-too-short']);
    expect(asking.text('timeout-too-short')).toMatch(
      /^On line main the controller asked again 80 times, after 30 ms, .* at 9600 baud\. Give it a time-out of \d+ ms or more/u,
    );
  });

  test('is not told of one that waits for its answers', () => {
    expect(impatient(500, true).said()).toEqual([]);
  });

  test('is told on a serial line of the rig itself, which needs time for its characters', () => {
    const asking = new Asking(
      rigWithLine({ listen: [{ kind: 'rtu', path: '/dev/ttyS0', baud: 9600, parity: 'even', stopBits: 1 }] }),
    );
    // 43 bytes of 11 bits at 9600 baud are 49 ms.
    asking.turnMs = 60;
    asking.cycles(40, 1000, () => {
      rightCycle(asking);
    });
    expect(asking.said()).toEqual([]);
    asking.turnMs = 30;
    asking.cycles(10, 1000, () => {
      rightCycle(asking, [RIGHT_A, RIGHT_A, RIGHT_B, RIGHT_B]);
    });
    expect(asking.said()).toEqual(['timeout-too-short']);
  });
});

describe('frames that are thrown away as broken', () => {
  const SERIAL = rigWithLine({
    listen: [{ kind: 'rtu', path: '/dev/ttyS0', baud: 19_200, parity: 'even', stopBits: 1 }],
  });

  test('are told with the settings of the line, though nothing was understood', () => {
    const asking = new Asking(SERIAL);
    const { advice } = asking.report(new Map([['main', 24]]));
    expect(advice.map(({ id }) => id)).toEqual(['serial-settings']);
    expect(advice[0]?.text).toContain('24 frames came broken and were thrown away; none was understood');
    expect(advice[0]?.text).toContain('rtu:///dev/ttyS0?baud=19200&parity=even');
  });

  test('are not told where they are few among many', () => {
    const asking = new Asking(SERIAL);
    asking.cycles(40, 1000, () => {
      rightCycle(asking);
    });
    expect(asking.said(new Map([['main', 9]]))).toEqual([]);
    expect(asking.said(new Map([['main', 20]]))).toEqual([]);
    expect(asking.said(new Map([['main', 24]]))).toEqual(['serial-settings']);
  });
});

describe('who is asked and who is not', () => {
  test('a planned sensor that nobody asks is told', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [RIGHT_A]);
    });
    expect(asking.said()).toEqual(['never-asked']);
    expect(asking.text('never-asked')).toMatch(
      /^coil-b \(unit 12 on line main\) has not been asked once in 39 s/u,
    );
  });

  test('an address where nobody is, with who is planned on the line', () => {
    const asking = new Asking();
    asking.timeoutMs = 50;
    asking.cycles(40, 1000, () => {
      rightCycle(asking, [...BOTH, [13, read(4, 0, 19)]]);
    });
    expect(asking.said()).toEqual(['nobody-there']);
    expect(asking.text('nobody-there')).toContain(
      'Planned on this line: 11 (coil-a), 12 (coil-b) and 200 (field I/O)',
    );
  });

  test('an address of another line', () => {
    const rig = rigWithCoilB({ line: 'east' });
    const [main] = demoRig().lines;
    if (main === undefined) throw new Error('no line');
    const asking = new Asking({ ...rig, lines: [main, { ...main, id: 'east' }] });
    asking.timeoutMs = 50;
    asking.cycles(40, 1000, () => {
      rightCycle(asking);
    });
    expect(asking.said()).toEqual(['nobody-there', 'never-asked']);
    expect(asking.text('nobody-there')).toContain('coil-b has that address on line east');
  });
});

describe('commands', () => {
  function writing(...writes: readonly (readonly number[])[]): Asking {
    const asking = new Asking();
    return asking.cycles(40, 1000, () => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      for (const pdu of writes) asking.ask(IO, pdu);
    });
  }

  test('are missed where none is written', () => {
    const asking = writing();
    expect(asking.said()).toEqual(['commands-missing']);
    expect(asking.text('commands-missing')).toMatch(
      /^No command has been written in 39 s at the field I\/O/u,
    );
  });

  test('are missed where one coil is left out', () => {
    const asking = writing(coils(0, 5), coils(8, 1));
    expect(asking.text('commands-missing')).toMatch(
      /^Coil 9 \(compressor b\) never written, so no write is complete/u,
    );
  });

  test('are missed where the field I/O refuses them', () => {
    const asking = writing(coils(0, 40));
    expect(asking.said()).toEqual(['refused', 'commands-missing']);
  });

  test('are told where they come too seldom for the watchdog', () => {
    const asking = new Asking();
    asking.cycles(40, 1000, (turn) => {
      asking.ask(IO, read(2, 0, 26));
      for (const [unit, pdu] of BOTH) asking.ask(unit, pdu);
      if (turn % 7 === 0) command(asking);
    });
    expect(asking.said()).toEqual(['commands-missing']);
    expect(asking.text('commands-missing')).toContain('up to 7 s apart');
  });
});

test('what a device refuses again and again is told', () => {
  const asking = askingCoilA(read(4, 0, 30));
  expect(asking.said()).toEqual(['refused']);
  expect(asking.text('refused')).toContain('It has input registers up to 18');
  expect(asking.report().lines[0]?.units[0]).toMatchObject({
    unitId: COIL_A,
    unsound: 40,
    exceptions: [{ code: 2, answers: 40 }],
  });
});
