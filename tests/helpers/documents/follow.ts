/** Follows a document to the letter: saves its files, runs its commands, compares what comes with what it shows. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { parse, stringify } from 'yaml';
import { isAsShown } from './output.ts';
import { type Part, partsOf } from './parts.ts';
import { openPlace, type Place, type Running } from './place.ts';

/** What says nothing is taken to be at work after so long; what says that it is, at once. */
const AT_WORK_MS = 3000;
const AT_WORK = /Ctrl-C|first request/u;
const START_MS_MAX = 30_000;
const LOOK_EVERY_MS = 50;
const STEPS = 'http://127.0.0.1:7580/api/v1/steps';
const LEAST_RIG = {
  rig: 1,
  name: 'Around a part',
  refrigerant: 'R-32',
  charge: '4.2 kg',
  room: { floor: '24 m2', height: '2.5 m' },
  fieldIo: { line: 'main' },
  sensors: [{ id: 'coil-b', at: 'cabinet', line: 'main', unitId: 12 }],
};

interface Walk {
  readonly file: string;
  readonly place: Place;
  readonly staying: Running[];
  readonly meanwhile: Running[];
  /** Output of what was run last. */
  came: string;
}

/** Resolves with how many blocks were run; throws at the first that is not as the document says. */
export async function follow(file: string): Promise<number> {
  const walk: Walk = { file, place: await openPlace(), staying: [], meanwhile: [], came: '' };
  let done = 0;
  try {
    for (const part of partsOf(file)) {
      await followed(walk, part);
      if (part.kind !== 'not run') done += 1;
    }
    await interruptAll(walk, `${file}: at its end`);
  } finally {
    walk.place.close();
  }
  return done;
}

async function followed(walk: Walk, part: Part): Promise<void> {
  const where = `${walk.file}:${part.line}`;
  switch (part.kind) {
    case 'not run':
      return;
    case 'commands':
      if (part.way === 'ends') await toItsEnd(walk, walk.place.run(part.text), part.code, where);
      else await toWork(walk, part.text, part.way, where);
      return;
    case 'file':
      return save(walk, part, where);
    case 'part of a rig':
      writeFileSync(join(walk.place.folder, 'part.rig.yaml'), stringify(aroundPart(part.text)));
      return toItsEnd(walk, walk.place.run('npm start -- check part.rig.yaml'), 0, where);
    case 'steps':
      for (const body of part.text.split('\n'))
        await toItsEnd(walk, walk.place.run(posted(body)), 0, `${where}: ${body}`);
      return;
    case 'told':
      return toItsEnd(walk, walk.place.run(part.command, `${part.text}\n`), 0, where);
    case 'output':
      if (!isAsShown(part.text, walk.came))
        throw new Error(`${where}: shown is\n${part.text}\nand what came is\n${walk.came}`);
      return;
    case 'ended': {
      const running = walk.meanwhile.shift();
      if (running === undefined) throw new Error(`${where}: nothing runs meanwhile`);
      return toItsEnd(walk, running, part.code, where);
    }
    case 'Ctrl-C':
      return interruptAll(walk, where);
  }
}

async function toItsEnd(walk: Walk, running: Running, code: number, where: string): Promise<void> {
  const ended = await running.code;
  walk.came = running.said();
  if (ended !== code) throw new Error(`${where}: ended with ${ended} in place of ${code}:\n${walk.came}`);
}

async function toWork(walk: Walk, script: string, way: 'stays' | 'meanwhile', where: string): Promise<void> {
  const running = walk.place.run(script);
  const beganMs = Date.now();
  (way === 'stays' ? walk.staying : walk.meanwhile).push(running);
  for (;;) {
    await sleep(LOOK_EVERY_MS);
    if (running.hasEnded()) throw new Error(`${where}: it does not stay:\n${running.said()}`);
    const isQuiet = running.said() === '' && !script.includes('npm');
    if (AT_WORK.test(running.said()) || (isQuiet && Date.now() - beganMs > AT_WORK_MS)) return;
    if (Date.now() - beganMs > START_MS_MAX)
      throw new Error(`${where}: not at work after ${START_MS_MAX} ms:\n${running.said()}`);
  }
}

async function save(walk: Walk, part: Part & { kind: 'file' }, where: string): Promise<void> {
  writeFileSync(join(walk.place.folder, part.name), `${part.text}\n`);
  await toItsEnd(walk, walk.place.run(`npm start -- check ${part.name}`), part.bad ? 2 : 0, where);
}

/** The keys of the part take the place of those of a small rig. */
function aroundPart(text: string): unknown {
  return { ...LEAST_RIG, ...(parse(text) as object) };
}

function posted(body: string): string {
  return `curl -sS --fail-with-body ${STEPS} -H 'content-type: application/json' -d '${body}'`;
}

async function interruptAll(walk: Walk, where: string): Promise<void> {
  // Last started, first ended: who polls before whom it polls.
  for (const running of walk.staying.splice(0).reverse()) {
    if (running.hasEnded()) throw new Error(`${where}: it ended before Ctrl-C:\n${running.said()}`);
    running.signal('SIGINT');
    await toItsEnd(walk, running, 130, where);
  }
}
