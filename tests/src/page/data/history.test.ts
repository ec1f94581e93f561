import { describe, expect, it } from 'vitest';
import { type Fact, toCloudEvent } from '../../../../src/events/index.ts';
import {
  CHANGES_MAX,
  controllerOff,
  foldAll,
  type History,
  KEPT_MS,
  LIST_MAX,
  NO_HISTORY,
  POINTS_MAX,
} from '../../../../src/page/data/history.ts';
import type { Items } from '../../../../src/page/data/series.ts';
import { tellStory } from '../../../browser/harness/story.ts';

function historyOf(facts: readonly Fact[], from: History = NO_HISTORY): History {
  return foldAll(
    from,
    facts.map((fact, index) => toCloudEvent(fact, from.lastSequence + index + 1, 0, 'a rig')),
  );
}

/** All that is in a history, as plain lists: two that were grown in other portions are then alike. */
function plain(history: History): unknown {
  const lists = (all: ReadonlyMap<string, Items<unknown>>) =>
    Object.fromEntries([...all].map(([key, items]) => [key, items.slice()]));
  return {
    ...history,
    gas: lists(history.gas),
    readings: lists(history.readings),
    commands: lists(history.commands),
    terminals: lists(history.terminals),
    moments: history.moments.slice(),
    wall: history.wall.slice(),
  };
}

function gas(atMs: number, percentLfl: number): Fact {
  return { id: 'gas.changed', atMs, fields: { at: 'coil-a', percentLfl } };
}

function reading(atMs: number, percentLfl: number): Fact {
  return { id: 'reading.changed', atMs, fields: { sensor: 'coil-a', state: 'measuring', percentLfl } };
}

function raised(atMs: number, subject = 'coil-a'): Fact {
  return { id: 'hazard.raised', atMs, fields: { hazard: 'silent', subject, text: `${subject} is silent` } };
}

function cleared(atMs: number, subject = 'coil-a'): Fact {
  return { id: 'hazard.cleared', atMs, fields: { hazard: 'silent', subject, title: 'silence' } };
}

function command(atMs: number, output: string, on: boolean): Fact {
  return { id: 'command.changed', atMs, fields: { output, on, because: [] } };
}

describe('folding events', () => {
  it('gives the same history in whatever portions the events arrive', () => {
    const { events } = tellStory(900);
    const whole = foldAll(NO_HISTORY, events);
    const one = events.reduce<History>((history, event) => foldAll(history, [event]), NO_HISTORY);
    const sevens = Array.from({ length: Math.ceil(events.length / 7) }, (_, part) =>
      events.slice(part * 7, part * 7 + 7),
    ).reduce<History>(foldAll, NO_HISTORY);
    expect(events.length).toBeGreaterThan(100);
    expect(plain(one)).toEqual(plain(whole));
    expect(plain(sevens)).toEqual(plain(whole));
  });

  it('leaves the history it was given as it was', () => {
    const before = historyOf([gas(1000, 1)]);
    const kept = structuredClone(plain(before));
    const after = historyOf([gas(2000, 2), raised(2000)], before);
    const other = historyOf([gas(2000, 3)], before);
    expect(plain(before)).toEqual(kept);
    // Two that went different ways from it know nothing of each other.
    expect(after.gas.get('coil-a')?.slice().at(-1)).toEqual({ atMs: 2000, value: 2 });
    expect(other.gas.get('coil-a')?.slice().at(-1)).toEqual({ atMs: 2000, value: 3 });
  });

  it('draws true gas and readings as steps, each under its own sensor', () => {
    const history = historyOf([
      gas(1000, 3),
      { id: 'gas.changed', atMs: 1000, fields: { at: 'grille', percentLfl: 1 } },
      gas(2000, 5),
      {
        id: 'reading.changed',
        atMs: 2500,
        fields: { sensor: 'coil-a', state: 'measuring', percentLfl: 4.5 },
      },
      { id: 'reading.changed', atMs: 3500, fields: { sensor: 'coil-a', state: 'failed', percentLfl: null } },
    ]);
    expect(history.gas.get('coil-a')?.slice()).toEqual([
      { atMs: 1000, value: 3 },
      { atMs: 2000, value: 5 },
    ]);
    expect(history.gas.get('grille')?.slice()).toEqual([{ atMs: 1000, value: 1 }]);
    expect(history.readings.get('coil-a')?.slice()).toEqual([
      { atMs: 2500, value: 4.5 },
      { atMs: 3500, value: null },
    ]);
  });

  it('keeps traces out of the list, and everything else in it, oldest first', () => {
    const history = historyOf([gas(1000, 3), raised(2000), gas(2500, 4), cleared(3000)]);
    expect(history.list.map((event) => event.type)).toEqual([
      'leakbench.hazard.raised',
      'leakbench.hazard.cleared',
    ]);
    expect(history.lastSequence).toBe(4);
  });

  it('lets a hazard stand until it is cleared on the same subject', () => {
    const history = historyOf([raised(1000), raised(1500, 'coil-b'), cleared(2000)]);
    expect(history.hazards.map(({ subject, fromMs, toMs }) => [subject, fromMs, toMs])).toEqual([
      ['coil-a', 1000, 2000],
      ['coil-b', 1500, null],
    ]);
  });

  it('ends hazards and commands of a supervisor that starts anew', () => {
    const history = historyOf([
      raised(1000),
      command(1200, 'fan', true),
      command(1300, 'heat', true),
      command(1400, 'heat', false),
      { id: 'supervisor.started', atMs: 9000, fields: { state: 'holding', reason: 'the record is open' } },
    ]);
    expect(history.hazards[0]?.toMs).toBe(9000);
    expect(history.commands.get('fan')?.at(-1)).toEqual({ atMs: 9000, on: false });
    expect(history.commands.get('heat')).toHaveLength(2);
    expect(history.reason).toBe('the record is open');
  });

  it('holds nothing for read any longer once the controller has no power', () => {
    const cut = historyOf([
      reading(1000, 4),
      { id: 'power.cut', atMs: 2000, fields: { to: 'coil-b' } },
      { id: 'power.cut', atMs: 3000, fields: { to: 'controller' } },
    ]);
    expect(controllerOff(cut)).toBe(true);
    expect(cut.readings.get('coil-a')?.at(-1)).toEqual({ atMs: 3000, value: null });
    const back = historyOf(
      [{ id: 'power.restored', atMs: 9000, fields: { to: 'controller' } }, reading(9500, 5)],
      cut,
    );
    expect(controllerOff(back)).toBe(false);
    expect(back.readings.get('coil-a')?.slice()).toEqual([
      { atMs: 1000, value: 4 },
      { atMs: 3000, value: null },
      { atMs: 9500, value: 5 },
    ]);
  });

  it('holds nothing for read while the rig has no power either, whichever of the two comes back first', () => {
    const power = (atMs: number, to: string, on: boolean): Fact => ({
      id: on ? 'power.restored' : 'power.cut',
      atMs,
      fields: { to },
    });
    const on = historyOf([command(1000, 'fan', true), reading(1500, 7), raised(1600)]);
    const dark = historyOf([power(2000, 'rig', false)], on);
    expect(dark.commands.get('fan')?.at(-1)).toEqual({ atMs: 2000, on: false });
    expect(dark.readings.get('coil-a')?.at(-1)).toEqual({ atMs: 2000, value: null });
    expect(dark.hazards.map(({ toMs }) => toMs)).toEqual([2000]);
    expect(controllerOff(dark)).toBe(true);
    const both = historyOf([power(3000, 'controller', false)], dark);
    for (const [first, then] of [
      ['rig', 'controller'],
      ['controller', 'rig'],
    ] as const) {
      const one = historyOf([power(4000, first, true)], both);
      expect([controllerOff(both), controllerOff(one)]).toEqual([true, true]);
      expect(controllerOff(historyOf([power(5000, then, true)], one))).toBe(false);
    }
    expect(controllerOff(on)).toBe(false);
  });

  it('begins anew with a new run of the bench, whose time begins anew, but keeps the list', () => {
    const history = historyOf([
      gas(500_000, 9),
      raised(500_000),
      { id: 'bench.started', atMs: 0, fields: { rig: 'a rig' } },
      gas(1000, 1),
    ]);
    expect(history.gas.get('coil-a')?.slice()).toEqual([{ atMs: 1000, value: 1 }]);
    expect(history.hazards).toEqual([]);
    expect(history.beganAtMs).toBe(0);
    expect(history.latestAtMs).toBe(1000);
    expect(history.list).toHaveLength(2);
  });

  it('begins anew with a fresh start, while bench time goes on', () => {
    const history = historyOf([
      gas(500_000, 9),
      raised(500_000),
      command(500_000, 'fan', true),
      { id: 'power.cut', atMs: 500_000, fields: { to: 'controller' } },
      { id: 'bench.reset', atMs: 600_000, fields: { reason: 'as asked for' } },
      gas(600_000, 0),
      gas(601_000, 1),
    ]);
    expect(history.gas.get('coil-a')?.slice()).toEqual([
      { atMs: 600_000, value: 0 },
      { atMs: 601_000, value: 1 },
    ]);
    expect(history.hazards).toEqual([]);
    expect([...history.commands]).toEqual([]);
    expect(controllerOff(history)).toBe(false);
    expect(history.beganAtMs).toBe(600_000);
    expect(history.list.map(({ type }) => type)).toContain('leakbench.hazard.raised');
  });

  it('takes the start of a supervisor at an earlier time for a new run, where there is no bench', () => {
    const started: Fact = { id: 'supervisor.started', atMs: 0, fields: { state: 'starting', reason: 'new' } };
    const history = historyOf([raised(500_000), started, raised(4000)]);
    expect(history.hazards.map((span) => span.fromMs)).toEqual([4000]);
    expect(history.beganAtMs).toBe(0);
  });

  it('keeps curves ascending where two authors were stored a little out of order', () => {
    const history = historyOf([gas(2000, 1), gas(1900, 2)]);
    expect(history.gas.get('coil-a')?.slice()).toEqual([
      { atMs: 2000, value: 1 },
      { atMs: 2000, value: 2 },
    ]);
  });

  it('drops what no window shows, but keeps the step that holds at its edge', () => {
    const history = historyOf([
      gas(0, 1),
      gas(1000, 2),
      raised(1000),
      cleared(2000),
      raised(2500, 'coil-b'),
      gas(KEPT_MS + 5000, 3),
    ]);
    expect(
      history.gas
        .get('coil-a')
        ?.slice()
        .map((point) => point.value),
    ).toEqual([2, 3]);
    expect(history.hazards.map((span) => span.subject)).toEqual(['coil-b']);
    expect(history.beganAtMs).toBe(5000);
  });

  it('keeps no longer a list than a person reads', () => {
    const facts = Array.from({ length: LIST_MAX + 20 }, (_, index) => command(index, 'fan', index % 2 === 0));
    const history = historyOf(facts);
    expect(history.list).toHaveLength(LIST_MAX);
    expect(history.list[0]?.sequence).toBe(21);
  });

  it('tells why the mitigation went into its present state', () => {
    const history = historyOf([
      {
        id: 'mitigation.changed',
        atMs: 1,
        fields: { from: 'running', to: 'mitigating', reason: 'coil-a reports gas' },
      },
    ]);
    expect(history.reason).toBe('coil-a reports gas');
  });

  it('counts an event that it does not know, and draws nothing of it', () => {
    const known = toCloudEvent(gas(1000, 1), 1, 0, 'a rig');
    const history = foldAll(NO_HISTORY, [{ ...known, type: 'leakbench.of.tomorrow' }]);
    expect(history.lastSequence).toBe(1);
    expect(history.gas.size).toBe(0);
  });

  it('marks what is at least a notice, and forgets it with the run', () => {
    const pressed = (atMs: number): Fact => ({ id: 'serviceReset.pressed', atMs, fields: {} });
    const history = historyOf([gas(1000, 1), command(2000, 'fan', true), pressed(3000), raised(4000)]);
    expect(history.moments.slice().map(({ id, atMs }) => [id, atMs])).toEqual([
      ['serviceReset.pressed', 3000],
      ['hazard.raised', 4000],
    ]);
    const anew = historyOf([{ id: 'bench.started', atMs: 0, fields: { rig: 'a rig' } }], history);
    expect(anew.moments.slice().map(({ id }) => id)).toEqual(['bench.started']);
  });

  it('is bounded by count as well as by time', () => {
    const facts = Array.from({ length: POINTS_MAX + 500 }, (_, index) => [
      gas(index, index),
      command(index, 'fan', index % 2 === 0),
      raised(index, `sensor-${index}`),
    ]).flat();
    const history = historyOf(facts);
    expect(history.gas.get('coil-a')?.length).toBe(POINTS_MAX);
    expect(history.gas.get('coil-a')?.at(0)?.value).toBe(500);
    expect(history.commands.get('fan')?.length).toBe(CHANGES_MAX);
    expect(history.moments.length).toBe(CHANGES_MAX);
    expect(history.hazards).toHaveLength(CHANGES_MAX);
    expect(history.wall.length).toBeLessThan(20);
  });
});
