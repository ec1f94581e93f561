/** `record verify`: whether a record is sound, and where it first is not. */
import { type Unsound, type Verification, verifyRecord } from '../../record/index.ts';
import { orStop } from '../record-or-stop.ts';
import { CAUTION } from '../report/words.ts';
import { EXIT } from '../stop.ts';
import type { RecordFolder } from './record-export.ts';

export function recordVerify({ data, json }: RecordFolder): void {
  const found = orStop(() => verifyRecord(data));
  const isSound = found.unsound.length === 0;
  process.stdout.write(
    json === true
      ? `${JSON.stringify({ caution: CAUTION, folder: data, sound: isSound, ...found }, null, 2)}\n`
      : sheet(data, found),
  );
  if (!isSound) process.exitCode = EXIT.broken;
}

function sheet(folder: string, { id, first, last, files, unsound }: Verification): string {
  const words = unsound.length === 0 ? 'sound' : 'NOT sound';
  return [
    `${folder}: record ${id} is ${words}`,
    `  sequence ${first} to ${last}, in ${files.join(', ')}`,
    ...(first > 1 ? [`  what was before ${first} is out of the record`] : []),
    ...unsound.map(sentence),
    '',
  ].join('\n');
}

function sentence({ file, sequence, problem }: Unsound): string {
  return sequence === null ? `  ${file}: ${problem}` : `  ${file}: event ${sequence}: ${problem}`;
}
