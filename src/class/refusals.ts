/** Why a class does not do what it is asked, as sentences for whoever asked. */
import { NAME_LETTERS_MAX, SEATS_MAX } from './limits.ts';

/** What is not there, the wrong moment, somebody else's right, an input out of bounds. */
export type RefusalSort = 'missing' | 'moment' | 'right' | 'input';

export const REFUSALS = {
  classOpen: row('moment', 'A class is open already; close it before you open another.'),
  noClass: row('missing', 'No class is open.'),
  wrongCode: row('missing', 'No open class has this code; read it again from the instructor’s screen.'),
  full: row('moment', `The class is full: it has ${SEATS_MAX} seats.`),
  nameUnusable: row(
    'input',
    `A name takes 1 to ${NAME_LETTERS_MAX} letters, digits or signs that can be seen, on one line.`,
  ),
  nameTaken: row('moment', 'Somebody in this class has this name; add a letter or a number to yours.'),
  noSeat: row('missing', 'No seat of this class has this id.'),
  lessonRunning: row('moment', 'A lesson is running; reveal it or drop it first.'),
  lessonBeginning: row('moment', 'A lesson is just beginning; wait for it.'),
  noLesson: row('moment', 'No lesson is on.'),
  lessonRevealed: row('moment', 'The lesson is revealed; no more answers are taken.'),
  unknownPart: row('input', 'The answer names a part that this rig does not have.'),
  unknownSensor: row('input', 'This rig has no sensor of that name to switch.'),
  noHand: row('right', 'The instructor has not given you the power switches.'),
  manyScores: row('moment', 'This class has all the scores it can hold; fetch them and open another class.'),
} as const satisfies Record<string, Row>;

export type RefusalId = keyof typeof REFUSALS;

interface Row {
  readonly sort: RefusalSort;
  readonly sentence: string;
}

function row(sort: RefusalSort, sentence: string): Row {
  return { sort, sentence };
}
