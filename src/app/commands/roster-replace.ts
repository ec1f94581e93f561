/** `roster replace RIG SENSOR`: another part in a sensor's place. A dry run without --write. */
import { userInfo } from 'node:os';
import { join } from 'node:path';
import type { EventFields } from '../../events/index.ts';
import { editMap } from '../../files/index.ts';
import { type ModbusSensor, type Rig, rigOfText } from '../../rig/index.ts';
import { SERVICE_FOLDER } from '../record-folders.ts';
import { asStop, recordOrStop } from '../record-or-stop.ts';
import { plain } from '../report/text-lines.ts';
import { CAUTION } from '../report/words.ts';
import { rigOrStop } from '../rig-option.ts';
import { type Agreement, agreementOn } from '../roster/agreement.ts';
import { dayOf } from '../roster/days.ts';
import { type Original, prepare, readOriginal } from '../roster/new-text.ts';
import { type Asked, type Replacing, replacing } from '../roster/replacement.ts';
import { addressOf } from '../roster/rows.ts';
import { type LineOptions, serviceLines } from '../service/lines.ts';
import { badFile, EXIT, Stop } from '../stop.ts';

export interface ReplaceOptions extends LineOptions, Asked {
  readonly by?: string;
  readonly byLabel?: true;
  readonly write?: true;
  readonly data: string;
  readonly json?: true;
}

type Result = 'written' | 'wouldWrite' | 'stopped';
type KnownBy = EventFields<'sensor.replaced'>['knownBy'];
type Say = (text: string) => void;

export async function replace(rigFile: string, id: string, options: ReplaceOptions): Promise<void> {
  const { rig } = rigOrStop(rigFile);
  const wanted = replacing(rig, id, options, dayOf(new Date()));
  const original = readOriginal(rig.file);
  const { text, planned } = plannedWith(rig, original, wanted);
  const steps: string[] = [];
  const out = options.json === true ? process.stderr : process.stdout;
  const say: Say = (step) => {
    steps.push(step);
    out.write(`  ${plain(step)}\n`);
  };
  const { sensor, serial, installed } = wanted;
  out.write(
    `${id}, ${addressOf(sensor)}: serial ${serial} in place of ${sensor.serial ?? 'an unknown one'}\n`,
  );
  say(
    `installed ${installed}${options.installed === undefined ? ' (today; --installed names another day)' : ''}`,
  );
  const knownBy = await knownByOf(planned, wanted, options, say);
  const result: Result = knownBy === null ? 'stopped' : options.write === true ? 'written' : 'wouldWrite';
  if (knownBy !== null) {
    if (options.write === true) writeBoth(rig, wanted, { original, text, knownBy }, options, say);
    else
      say(`would write serial and installed of ${id} into ${rig.file}, and on record; add --write to do it`);
  }
  if (options.json === true) process.stdout.write(json(rig, wanted, result, steps));
  else process.stdout.write(`${CAUTION}\n`);
  if (result === 'stopped') process.exitCode = EXIT.broken;
}

/** The rig file as it will be, read as any rig file is. Throws Stop where it would not be one. */
function plannedWith(rig: Rig, { text: before }: Original, { index, serial, installed, sensor }: Replacing) {
  const behind = ['serial', 'unitId', 'input'];
  const text = editMap(before, ['sensors', index], { serial, installed }, behind);
  if (text === null) {
    throw new Stop(
      EXIT.usage,
      `${rig.file}: ${sensor.id} is written so that more than its own serial and day would change ` +
        '(an anchor, an alias, or a list); write both in by hand',
    );
  }
  const read = rigOfText(rig.file, text);
  if (!read.ok) throw badFile(read.problems);
  return { text, planned: read.value };
}

/** How it is known that the part is there; null where it is not, which was said. */
async function knownByOf(
  planned: Rig,
  { index, sensor: { id } }: Replacing,
  options: ReplaceOptions,
  say: Say,
): Promise<KnownBy | null> {
  const sensor = planned.sensors[index];
  if (sensor?.kind !== 'modbus') {
    say(
      'a contact tells no serial, so that there is nothing to survey: read the label of the part in its place',
    );
    return wordOf(id, options, say);
  }
  const agreement = await surveyed(planned, sensor, options);
  if (agreement.kind === 'differs') {
    for (const { title, text, advice } of agreement.differences) say(`${title}: ${text}; ${advice}`);
    say('stopped: the survey does not agree, so that nothing was written');
    return null;
  }
  say(`at unit ${sensor.unitId} answers ${agreement.who}`);
  for (const note of agreement.notes) say(`note: ${note}`);
  if (agreement.kind === 'agrees') return 'survey';
  say(`no serial could be heard: read on the label that this is ${String(sensor.serial)}`);
  return wordOf(id, options, say);
}

async function surveyed(planned: Rig, sensor: ModbusSensor, options: ReplaceOptions): Promise<Agreement> {
  const [line] = serviceLines(planned, [sensor.line], options);
  if (line === undefined) throw new Error(`line ${sensor.line} was not opened`);
  const interrupt = (): void => process.exit(EXIT.interrupted);
  process.once('SIGINT', interrupt).once('SIGTERM', interrupt);
  try {
    return await agreementOn(planned, sensor, line);
  } finally {
    process.off('SIGINT', interrupt).off('SIGTERM', interrupt);
  }
}

/** Where nothing on the line tells the part, somebody must. */
function wordOf(id: string, { byLabel, write }: ReplaceOptions, say: Say): KnownBy {
  if (byLabel === true) return 'label';
  const word = `the word that the label of ${id} was read: --by-label`;
  if (write === true) throw new Stop(EXIT.usage, `--write takes ${word}; nothing was written`);
  say(`with --write it takes ${word}`);
  return 'label';
}

interface Writing {
  readonly original: Original;
  readonly text: string;
  readonly knownBy: KnownBy;
}

/** The record first: what cannot be recorded is not done. The file lies ready by then. */
function writeBoth(rig: Rig, wanted: Replacing, writing: Writing, options: ReplaceOptions, say: Say): void {
  const { sensor, serial, installed, made } = wanted;
  const folder = join(options.data, SERVICE_FOLDER);
  const record = recordOrStop(folder, rig.name);
  try {
    const file = prepare(writing.original, writing.text);
    const fields = {
      ...{ sensor: sensor.id, serial, oldSerial: sensor.serial, installed, made },
      ...{ by: options.by ?? loggedIn(), knownBy: writing.knownBy },
    };
    try {
      record.append([{ id: 'sensor.replaced', atMs: Math.round(performance.now()), fields }]);
    } catch (error) {
      file.discard();
      throw error;
    }
    say(`on record in ${folder}, by ${fields.by}`);
    file.takePlace();
  } catch (error) {
    throw asStop(error);
  } finally {
    record.close();
  }
  say(
    `wrote serial ${serial} and installed ${installed} of ${sensor.id} into ${rig.file}, and changed nothing else`,
  );
  say(
    'a bench or supervisor that runs takes it up at its next start; until then the new serial is a stranger to it',
  );
}

function loggedIn(): string {
  try {
    return userInfo().username;
  } catch {
    return 'not told';
  }
}

function json(
  rig: Rig,
  { sensor, serial, installed, made }: Replacing,
  result: Result,
  steps: readonly string[],
) {
  const told = { sensor: sensor.id, result, serial, oldSerial: sensor.serial, installed, made, steps };
  return `${JSON.stringify({ rig: rig.name, file: rig.file, ...told, caution: CAUTION }, null, 2)}\n`;
}
