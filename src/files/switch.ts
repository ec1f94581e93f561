import { z } from 'zod';

const SWITCH_WORDS = { on: true, yes: true, true: true, off: false, no: false, false: false } as const;
const isWord = (value: string): value is keyof typeof SWITCH_WORDS => Object.hasOwn(SWITCH_WORDS, value);

/** A switch as people write it: on, off, yes, no, true, false mean the same wherever one is meant. */
export const switchSchema = z
  .union([z.boolean(), z.string()], { error: 'takes on or off' })
  .transform((value, context): boolean => {
    if (typeof value === 'boolean') return value;
    if (isWord(value)) return SWITCH_WORDS[value];
    context.addIssue({ code: 'custom', message: 'takes on or off' });
    return z.NEVER;
  })
  // For JSON Schemas, which see nothing of a transform.
  .meta({ enum: [true, false, ...Object.keys(SWITCH_WORDS)], description: 'on or off' });
