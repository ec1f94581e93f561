/** A class at a bench as it is started: three seats through a shipped lesson, and none where there is no rig. */
import { afterEach, expect, test } from 'vitest';
import type { ClassView, SeatView } from '../../src/api/class-schema.ts';
import type { Answer } from '../../src/lesson/index.ts';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';

const TEACHER = 'teach-12345';
const NO_BUS = ['--bus', 'tcp://127.0.0.1:0'];
const LESSON = 'case-11-no-supply';
const RIGHT: Answer = {
  causes: ['sensor-without-supply'],
  where: ['coil-b'],
  next: 'restore-supply',
  restart: 'after-mending',
};
const WRONG: Answer = { ...RIGHT, causes: ['sensor-silent'], next: 'replace-sensor' };

const running: BenchProcess[] = [];
afterEach(async () => {
  for (const bench of running.splice(0).reverse()) await bench.stop();
});

async function start(verb: string, ...args: string[]): Promise<BenchProcess> {
  const common = ['--speed', '20', '--data', freshFolder(), '--token', TEACHER];
  const bench = await startBench([verb, ...common, ...args]);
  running.push(bench);
  return bench;
}

function asking(page: string, token?: string) {
  return async (
    method: string,
    path: string,
    body?: unknown,
  ): Promise<{ status: number; value: unknown }> => {
    const answer = await fetch(`${page}/api/v1/${path}`, {
      method,
      headers: {
        ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    return { status: answer.status, value: await answer.json() };
  };
}

async function joined(page: string, code: string, name: string) {
  const { value } = await asking(page)('POST', 'seat', { code, name });
  const { key } = value as { readonly key: string };
  const ask = asking(page, key);
  return {
    look: async () => (await ask('GET', 'seat')).value as SeatView,
    answer: async (given: Answer) => (await ask('POST', 'seat/answer', given)).status,
    flip: async (sensor: string, on: boolean) => (await ask('POST', 'seat/power', { sensor, on })).status,
  };
}

type Seated = Awaited<ReturnType<typeof joined>>;

/** Looks as a phone does, a few times a second, until it sees something; the test's own time limit ends it. */
async function sees(seat: Seated, something: (view: SeatView) => boolean): Promise<SeatView> {
  for (;;) {
    const view = await seat.look();
    if (something(view)) return view;
    await new Promise((resolve) => setTimeout(resolve, 300));
  }
}

function saysOf(text: string): (view: SeatView) => boolean {
  return ({ field }) => field?.controller.says.some((said) => said.startsWith(text)) === true;
}

const voltsAt = ({ field }: SeatView, terminal: string): number | undefined =>
  field?.terminals.find(({ id }) => id === terminal)?.volts;

test('a class of three finds the sensor without supply, flips a switch, and has its scores', async () => {
  const { page } = await start('serve', ...NO_BUS);
  const teach = asking(page, TEACHER);
  const classView = async () => ((await teach('GET', 'class')).value as { class: ClassView }).class;
  expect((await teach('POST', 'class', {})).status).toBe(200);
  const { code, lessons } = await classView();
  expect(lessons.length).toBeGreaterThanOrEqual(8);
  const seats = [];
  for (const name of ['Ann', 'Bob', 'Cy']) seats.push(await joined(page, code, name));
  const [ann, bob] = seats as [Seated, Seated, Seated];

  expect((await teach('POST', 'class/lesson', { id: LESSON })).status).toBe(200);
  await sees(ann, (view) => view.field?.runs.compressors.some((one) => one.running) === true);
  const found = await sees(ann, (view) => voltsAt(view, 'supply.coil-b') === 0);
  const silent = await sees(bob, saysOf('coil-b has given no sound answer'));
  expect(found.field?.sensors[1]).toMatchObject({ switchedOn: true, lamp: { word: 'no power' } });
  expect(silent.field?.controller.state).toBe('mitigating');
  expect([voltsAt(silent, 'supply.coil-a'), voltsAt(silent, 'output.fan')]).toEqual([24, 24]);

  expect(await ann.flip('coil-a', false)).toBe(403);
  await teach('POST', 'class/hand', { to: 'everybody' });
  expect(await ann.flip('coil-a', false)).toBe(200);
  expect(voltsAt(await bob.look(), 'supply.coil-a')).toBe(0);
  expect(await ann.flip('coil-a', true)).toBe(200);

  expect([await ann.answer(RIGHT), await bob.answer(WRONG)]).toEqual([200, 200]);
  expect((await ann.look()).result).toBeNull();
  await teach('POST', 'class/reveal', {});
  expect((await ann.look()).result).toMatchObject({ score: { total: 4 }, solution: { where: ['coil-b'] } });
  expect((await classView()).scores.map(({ seat, total }) => [seat, total])).toEqual([
    ['Ann', 4],
    ['Bob', 2],
    ['Cy', 0],
  ]);
});

test('the supervisor alone has no class; the sensors alone have one, whose controller is elsewhere', async () => {
  const sim = await start('sim', ...NO_BUS);
  const supervisor = await start('supervise', '--bus', `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`);
  const refused = await asking(supervisor.page, TEACHER)('POST', 'class', {});
  expect(refused).toMatchObject({ status: 404, value: { type: '/problems/class-missing' } });
  const teach = asking(sim.page, TEACHER);
  await teach('POST', 'class', {});
  const { class: view } = (await teach('GET', 'class')).value as { readonly class: ClassView };
  const ann = await joined(sim.page, view.code, 'Ann');
  expect((await teach('POST', 'class/lesson', { id: LESSON })).status).toBe(200);
  expect((await ann.look()).field?.controller).toMatchObject({ lit: true, state: null });
});
