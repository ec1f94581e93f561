/** Answers to "why?", where the page itself puts what it knows into sentences. */
import { formatGas } from '../../units/format.ts';
import type { PollOutcome } from '../types.ts';
import { ago } from './age.ts';

export const B = {
  isBecause: (what: string, how: string) => `${what} is ${how} because`,
  phase: 'The mitigation',
  entered: (reason: string) => `it came to this because ${reason}`,
  holdLeft: 'hold left',
  holdWaits: 'The hold waits for airflow.',
  holdRuns: 'The hold runs while airflow is proven.',
  holdOver: 'The hold has passed; fresh readings must confirm it.',
  holdBegins: (hold: string) => `The hold of ${hold} begins when nothing of this lasts any more.`,
  nothingStands: 'No hazard stands, and every sensor has passed its self-test.',
  saidLast: (ageMs: number, where: string, state: string) =>
    `${where} answered ${ago(ageMs)} and said: ${state}`,
  neverHeard: (where: string) => `${where} has never given a good answer`,
  number: (gas: number) => `its number is ${formatGas(gas)}`,
  against: (setpoint: number, source: string) => `the setpoint is ${formatGas(setpoint)} (${source})`,
  nothingAgainst: 'nothing speaks against it',
  lastNumber: 'the last number of a sensor that does not answer is no reading any longer',
  airflow: 'Airflow',
  proven: 'proven',
  notProven: 'not proven',
  fanCommanded: (on: boolean) => `the fan is commanded ${on ? 'on' : 'off'}`,
  fanTerminal: (on: boolean) => `its terminal stands ${on ? 'on' : 'off'}`,
  fanMoves: (airflow: string) => `the fan moves ${airflow}`,
  switchTells: (proven: boolean) => `the airflow switch tells that ${proven ? 'air moves' : 'no air moves'}`,
  fault: (part: string, meaning: string) => `a fault was put into ${part}: ${meaning}`,
} as const;

export const OUTCOMES: Readonly<Record<PollOutcome, string>> = {
  answered: 'answered',
  silent: 'no answer',
  exception: 'an exception',
  broken: 'a broken answer',
  waiting: 'asked, not answered yet',
};

/** The line between the sensors and whoever asks them. */
export const W = {
  elsewhere: 'What is asked on the line cannot be seen from here.',
  notAsked: 'not asked yet',
  last: (outcome: PollOutcome, ageMs: number) => `${OUTCOMES[outcome]}, ${ago(ageMs)}`,
  heard: (ageMs: number | null) => (ageMs === null ? 'never heard' : `heard ${ago(ageMs)}`),
  at: (line: string, unitId: number) => `line ${line}, address ${unitId}`,
  marks: (counts: string) => `Last questions: ${counts}`,
  count: (outcome: PollOutcome, count: number) => `${count} × ${OUTCOMES[outcome]}`,
} as const;
