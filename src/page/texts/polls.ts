/** Every word of its own that "Who asks whom" shows; advice comes from the bench in whole sentences. */
import { formatDuration } from '../../units/format.ts';
import type { Standing } from '../polls/standing.ts';

export const P = {
  title: 'Who asks whom',
  advice: 'Advice',
  noAdvice: 'Nothing is wrong with the way the devices are asked, as far as can be seen from here.',
  countAnew: 'Count anew',
  countAnewSays: 'Forgets what was asked so far, here alone: whatever is still wrong comes up again.',
  unseen: 'What cannot be seen from requests',
  units: (line: string) => `Line ${line}, by address`,
  columns: ['Address', 'Who', 'Requests', 'Every', 'Longest gap', 'What', 'Answers'],
  notPlanned: 'not planned',
  every: (meanMs: number, jitterMs: number) => `${formatDuration(meanMs)} ± ${formatDuration(jitterMs)}`,
  gap: (gapMs: number, withinMs: number) => `${formatDuration(gapMs)} of ${formatDuration(withinMs)}`,
  notKnown: '–',
  range: (code: string, way: string, first: number, last: number) =>
    `${code} ${way} ${first === last ? first : `${first}–${last}`}`,
  ways: { read: 'reads', write: 'writes' },
  moreRanges: (requests: number) => `and ${requests} requests for other ranges`,
  noAddress: 'no addresses',
  all: 'all',
  none: 'none',
  unanswered: (count: number, of: number) => `${count} of ${of} unanswered`,
  exception: (code: string, name: string, answers: number) => `${answers} × ${code} ${name}`,
  outrun: (count: number) => `${count} not waited for`,
  bus: (line: string) => `Addresses 1 to 247 of line ${line}`,
  noAddresses: 'none',
} as const;

/** The letter in the picture and its meaning beside it; a dot is an address that nobody planned or asked. */
export const STANDINGS: Readonly<Record<Standing, { readonly letter: string; readonly says: string }>> = {
  answers: { letter: 'A', says: 'planned, asked, answers' },
  silent: { letter: 'S', says: 'planned, asked, silent' },
  missed: { letter: 'M', says: 'planned, never asked' },
  unplanned: { letter: 'U', says: 'not planned, answers' },
  nobody: { letter: 'N', says: 'asked, nobody is there' },
};
