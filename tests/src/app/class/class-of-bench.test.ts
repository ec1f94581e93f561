/** A class at a live world, with the real lessons: what a seat sees is the bench, and what it flips is too. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { shippedDrills } from '../../../../sim/drill/index.ts';
import { readStep } from '../../../../sim/drill/step.ts';
import { LiveWorld, World } from '../../../../sim/world/index.ts';
import { seatViewSchema } from '../../../../src/api/class-schema.ts';
import { classOfBench } from '../../../../src/app/class/class-of-bench.ts';
import { shippedLessons } from '../../../../src/app/class/shipped-lessons.ts';
import { benchClock } from '../../../../src/clock/index.ts';
import { partsOf } from '../../../../src/lesson/index.ts';
import { openRecord } from '../../../../src/record/index.ts';
import { RIG, sensorIn, voltsAt } from './field.ts';

const DONE = { ok: true } as const;

function liveClass() {
  const folder = mkdtempSync(join(tmpdir(), 'leakbench-class-'));
  const record = openRecord({ folder, rigName: RIG.name });
  const clock = benchClock(1);
  clock.set({ paused: true });
  const world = new World(RIG, {
    seed: 1,
    startMs: clock.now(),
    serviceDaysLeft: () => 3000,
    observe: () => undefined,
  });
  const live = new LiveWorld(world, clock);
  onTestFinished(async () => {
    await live.close();
    clock.stop();
    record.close();
    rmSync(folder, { recursive: true });
  });
  const played: unknown[] = [];
  const classroom = classOfBench({
    rig: RIG,
    world: live,
    supervisor: null,
    clock,
    record,
    bench: {
      applyStep: (written) => {
        const read = readStep(written, RIG);
        if (!read.ok) return read;
        const problem = live.apply(read.step);
        return problem === null ? DONE : { ok: false, problem };
      },
      playDrill: (wanted) => {
        played.push(wanted);
        return Promise.resolve(DONE);
      },
      stopDrill: () => DONE,
      lessons: () => shippedDrills(RIG),
    },
  });
  return { classroom, record, played };
}

test('a class plays every shipped lesson, sees the rig in it, and flips its switches', async () => {
  const { classroom, record, played } = liveClass();
  classroom.open();
  const picture = await classroom.picture();
  const lessons = picture?.lessons ?? [];
  expect(lessons.length).toBeGreaterThanOrEqual(8);
  const joined = classroom.join(picture?.code ?? '', 'Ann');
  if (!joined.ok) throw new Error(joined.refusal);
  const { seat } = joined;
  classroom.giveHand(seat);
  for (const { id, title, minutes, fits } of lessons) {
    expect([fits, minutes > 0]).toEqual([null, true]);
    expect(await classroom.startLesson(id)).toEqual(DONE);
    const text = JSON.stringify(classroom.look(seat));
    expect(text).toContain(title);
    const lesson = (await classroom.picture())?.lesson;
    const hidden = [
      lesson?.name,
      lesson?.why,
      lesson?.shows,
      lesson?.safeNextStep,
      ...(lesson?.teach ?? []),
      id,
    ];
    for (const secret of hidden) expect(text).not.toContain(secret);
    // What a lesson calls right is among what a class can choose.
    const parts = partsOf(RIG).map((part) => part.id);
    for (const part of lesson?.solution.where ?? []) expect(parts).toContain(part);
    expect(classroom.reveal()).toEqual(DONE);
  }
  expect(played).toEqual(lessons.map(({ id }) => ({ id })));
  expect((await classroom.picture())?.scores).toHaveLength(lessons.length);

  expect(classroom.flip(seat, 'coil-a', false)).toEqual(DONE);
  const field = seatViewSchema.parse(classroom.look(seat)).field;
  if (field === null) throw new Error('no field');
  expect([sensorIn(field, 'coil-a').switchedOn, voltsAt(field, 'supply.coil-a')]).toEqual([false, 0]);
  expect(field.controller.says).toEqual([expect.stringContaining('runs elsewhere')]);
  expect(classroom.flip(seat, 'coil-a', true)).toEqual(DONE);
  const flips = record.readAfter(0, 1000).filter(({ type }) => type.endsWith('class.flipped'));
  expect(flips.map(({ data }) => data.fields['on'])).toEqual([false, true]);
});

test('a lesson that the bench does not play is told in the bench’s own words', async () => {
  const stops: string[] = [];
  const book = shippedLessons({
    lessons: () => shippedDrills(RIG),
    playDrill: () => Promise.resolve({ ok: false, problem: 'The sensors run elsewhere.' }),
    stopDrill: () => {
      stops.push('stopped');
      return DONE;
    },
  });
  expect(await book.play('case-01-what-is-normal')).toBe('The sensors run elsewhere.');
  expect(await book.get('no-such-lesson')).toBeNull();
  book.stop();
  expect(stops).toEqual(['stopped']);
});

test('a lesson that names what the rig of the bench lacks says so, and a drill is no lesson', async () => {
  const rig = { ...RIG, sensors: RIG.sensors.slice(0, 1) };
  const lessons = (): ReturnType<typeof shippedDrills> => shippedDrills(rig);
  const book = shippedLessons({ lessons, playDrill: () => Promise.resolve(DONE), stopDrill: () => DONE });
  const rows = await book.list();
  expect(rows.find(({ id }) => id === 'case-08-a-broken-wire')?.fits).toBe(
    'Not on this rig: there is no "grille".',
  );
  expect(rows.map(({ id }) => id)).not.toContain('fire');
  expect(await book.get('fire')).toBeNull();
});
