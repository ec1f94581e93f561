/** A class at a live world, with the real lessons: what a seat sees is the bench, and what it flips is too. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { shippedDrills } from '../../../../sim/drill/index.ts';
import { readStep } from '../../../../sim/drill/step.ts';
import { LiveWorld, World } from '../../../../sim/world/index.ts';
import { seatViewSchema } from '../../../../src/api/class-schema.ts';
import { benchLessons } from '../../../../src/app/class/bench-lessons.ts';
import { classOfBench } from '../../../../src/app/class/class-of-bench.ts';
import { DrillShelf } from '../../../../src/app/drill/shelf.ts';
import { benchClock } from '../../../../src/clock/index.ts';
import { packageRoot } from '../../../../src/files/index.ts';
import { partsOf } from '../../../../src/lesson/index.ts';
import { openRecord, RecordError } from '../../../../src/record/index.ts';
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
  const stopped: unknown[] = [];
  const disk = { isFull: false };
  const classroom = classOfBench({
    rig: RIG,
    world: live,
    supervisor: null,
    clock,
    record: {
      ...record,
      append: (facts) => {
        if (disk.isFull) throw new RecordError('notStored', 'no room');
        return record.append(facts);
      },
    },
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
      stopDrill: () => {
        stopped.push(played.at(-1));
        return DONE;
      },
      lessons: () => shippedDrills(RIG),
      findDrill: (wanted) => new DrillShelf(RIG).find(wanted),
    },
  });
  return { classroom, record, played, stopped, disk };
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
    expect(await classroom.startLesson({ id })).toEqual(DONE);
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

test('what cannot be put on record does not happen in the class either', async () => {
  const { classroom, record, stopped, disk } = liveClass();
  const whileFull = async (act: () => unknown): Promise<void> => {
    disk.isFull = true;
    await expect((async () => await act())()).rejects.toThrow('no room');
    disk.isFull = false;
  };
  await whileFull(() => classroom.open());
  expect(await classroom.picture()).toBeNull();
  classroom.open();
  const code = (await classroom.picture())?.code ?? '';

  await whileFull(() => classroom.join(code, 'Ann'));
  expect((await classroom.picture())?.seats).toEqual([]);
  const joined = classroom.join(code, 'Ann');
  if (!joined.ok) throw new Error(joined.refusal);

  const lesson = (await classroom.picture())?.lessons[0]?.id ?? '';
  await whileFull(() => classroom.startLesson({ id: lesson }));
  expect((await classroom.picture())?.lesson).toBeNull();
  expect(stopped).toEqual([{ id: lesson }]);
  expect(await classroom.startLesson({ id: lesson })).toEqual(DONE);
  classroom.giveHand(joined.seat);
  await whileFull(() => classroom.flip(joined.seat, 'coil-a', false));
  const field = seatViewSchema.parse(classroom.look(joined.seat)).field;
  expect(field === null ? null : sensorIn(field, 'coil-a').switchedOn).toBe(true);
  await whileFull(() => classroom.reveal());
  expect((await classroom.picture())?.lesson?.phase).toBe('running');
  await whileFull(() => classroom.close());
  expect((await classroom.picture())?.lesson?.phase).toBe('running');
  expect(stopped).toHaveLength(1);
  expect(classroom.close()).toEqual(DONE);
  expect(record.readAfter(0, 99).map(({ type }) => type)).toEqual(
    ['class.opened', 'class.joined', 'lesson.started', 'class.closed'].map((id) => `leakbench.${id}`),
  );
});

test('a lesson that the bench does not play is told in the bench’s own words', async () => {
  const stops: string[] = [];
  const book = benchLessons({
    lessons: () => shippedDrills(RIG),
    findDrill: (wanted) => new DrillShelf(RIG).find(wanted),
    playDrill: () => Promise.resolve({ ok: false, problem: 'The sensors run elsewhere.' }),
    stopDrill: () => {
      stops.push('stopped');
      return DONE;
    },
  });
  expect(await book.play({ id: 'case-01-what-is-normal' })).toBe('The sensors run elsewhere.');
  expect(await book.get({ id: 'no-such-lesson' })).toMatchObject({ ok: false, missing: true });
  book.stop();
  expect(stops).toEqual(['stopped']);
});

test('a lesson that names what the rig of the bench lacks says so, and a drill is no lesson', async () => {
  const rig = { ...RIG, sensors: RIG.sensors.slice(0, 1) };
  const lessons = (): ReturnType<typeof shippedDrills> => shippedDrills(rig);
  const book = benchLessons({
    lessons,
    findDrill: (wanted) => new DrillShelf(rig).find(wanted),
    playDrill: () => Promise.resolve(DONE),
    stopDrill: () => DONE,
  });
  const rows = await book.list();
  expect(rows.find(({ id }) => id === 'case-08-a-broken-wire')?.fits).toBe(
    'Not on this rig: there is no "grille".',
  );
  expect(rows.map(({ id }) => id)).not.toContain('fire');
  expect(await book.get({ id: 'fire' })).toMatchObject({ ok: false, missing: true });
});

function lessonText(id: string): string {
  return readFileSync(join(packageRoot(), `sim/drill/lessons/${id}.drill.yaml`), 'utf8');
}

test('a class plays a lesson of its instructor’s own, which is given as text', async () => {
  const { classroom, played } = liveClass();
  classroom.open();
  const text = lessonText('case-11-no-supply').replace('Case 11: the lost keys', 'Ours: the lost keys');
  expect(await classroom.startLesson({ text })).toEqual(DONE);
  expect(played).toEqual([{ text }]);
  const lesson = (await classroom.picture())?.lesson;
  expect(lesson).toMatchObject({ id: null, title: 'Ours: the lost keys', phase: 'running' });
  expect(lesson?.solution.where).toEqual(['coil-b']);
});

test('a text that is no lesson is refused with what to change, and nothing is played', async () => {
  const { classroom, played } = liveClass();
  classroom.open();
  const sound = lessonText('case-11-no-supply');
  const [drill] = sound.split('lesson:');
  expect(await classroom.startLesson({ text: drill ?? '' })).toEqual({
    ok: false,
    problem:
      'This drill is no lesson: add a block lesson: with title, solution, shows, teach and safeNextStep, as the shipped lessons have one, or play it under Drills.',
  });
  const halfway = sound.replace(/ {2}safeNextStep:[\s\S]*$/u, '');
  const problemOf = async (text: string): Promise<string> =>
    JSON.stringify(await classroom.startLesson({ text }));
  expect(await problemOf(halfway)).toMatch(/"problem":"drill:\d+:\d+: .*safeNextStep/u);
  const elsewhere = sound.replace('where: [coil-b]', 'where: [coil-z]');
  expect(await problemOf(elsewhere)).toMatch(/"problem":"drill:\d+:\d+: .*there is no ..coil-z/u);
  expect(played).toEqual([]);
  expect((await classroom.picture())?.lesson).toBeNull();
});
