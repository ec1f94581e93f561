/** The block `lesson:` of a drill file: what a class is asked, told and taught. */
import { z } from 'zod';
import { suggestion } from '../../src/files/index.ts';
import { CAUSE_IDS, NEXT_STEP_IDS, RESTART_IDS } from '../../src/lesson/index.ts';

/** A class reads it on a phone, and a projector from the last row. */
const TITLE_LENGTH_MAX = 60;
/** More than an instructor would read out. */
const PARAGRAPHS_MAX = 20;

/** For editors: of a refinement a JSON Schema sees nothing. */
const UNIQUE = { uniqueItems: true };

const text = (error: string) => z.string({ error }).regex(/\S/u, { error });

/** Words of a closed list, each once. */
function wordsOf<Word extends string>(what: string, known: readonly Word[], says: string) {
  const example = known[0] ?? '';
  const word = z.enum(known, {
    error: ({ input }) =>
      typeof input === 'string'
        ? `there is no ${what} "${input}"; ${suggestion(input, known)}`
        : `takes the name of a ${what}, such as ${example}`,
  });
  return z
    .array(word, { error: `takes a list such as [${example}]` })
    .min(1, { error: `takes one ${what} at least, such as [${example}]` })
    .refine(isOnceEach, { error: `names a ${what} twice; write each once` })
    .meta({ ...UNIQUE, description: says });
}

function isOnceEach(words: readonly unknown[]): boolean {
  return new Set(words).size === words.length;
}

const PART = 'takes the name of a part of the rig, such as fan';

/** The names of `where` are checked against the rig. */
const solutionSchema = z.strictObject({
  causes: wordsOf('cause', CAUSE_IDS, 'what is wrong: all of these').refine(isAloneOrSomething, {
    error: '"none" stands alone: leave it out where something is wrong',
  }),
  where: z
    .array(z.string({ error: PART }).describe('a part of the rig, such as fan or coil-a'), {
      error: 'takes a list such as [fan], or [] where nothing is wrong',
    })
    .refine(isOnceEach, { error: 'names a part twice; write each once' })
    .meta({ ...UNIQUE, description: 'the parts that it is wrong with; [] where nothing is' }),
  next: wordsOf('next step', NEXT_STEP_IDS, 'what to do next: any of these is right'),
  restart: wordsOf('answer to the restart', RESTART_IDS, 'when to run again: any of these is right'),
});

const SHOWS = 'takes a text: what eyes, a meter and a portable reader find';

export const lessonSchema = z.strictObject({
  title: text('takes a title for the class, which gives nothing away')
    .max(TITLE_LENGTH_MAX, { error: `takes at most ${TITLE_LENGTH_MAX} characters` })
    .meta({ description: 'shown to the class from the start; gives nothing away' }),
  solution: solutionSchema.describe('what the answers of a class are scored by'),
  shows: text(SHOWS).meta({ description: 'what eyes, a meter and a portable reader find' }),
  teach: z
    .array(text('takes a paragraph').describe('a paragraph'), { error: 'takes a list of paragraphs' })
    .min(1, { error: 'takes one paragraph at least' })
    .max(PARAGRAPHS_MAX)
    .meta({ description: 'notes for the instructor, a paragraph each' }),
  safeNextStep: text('takes a text: what is safe to do next').describe('what is safe to do next'),
});

/** What a block `lesson:` has to have, in the order of a file. */
export const LESSON_KEYS: readonly string[] = Object.keys(lessonSchema.shape);

function isAloneOrSomething(causes: readonly string[]): boolean {
  return causes.length === 1 || !causes.includes('none');
}
