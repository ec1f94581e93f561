/** How much of anything a class may have. */

/** A room full of technicians; also what a page lists on one screen. */
export const SEATS_MAX = 60;
/** In code points, as people count letters. */
export const NAME_LETTERS_MAX = 40;
/** A working day: a class that somebody forgot to close is not open tomorrow. */
export const CLASS_LIFE_MS = 12 * 3_600_000;
/** Phones ask once a second; one that has not for so long is in a pocket, or gone. */
export const PRESENT_WITHIN_MS = 5000;
/** Of all lessons together, so that a class left to a script does not grow for ever. */
export const SCORES_MAX = 10_000;
/** More places than any rig has parts that can be at fault at once. */
export const ANSWER_PLACES_MAX = 20;
/** The longest name of a part that a rig file may give. */
export const PART_LETTERS_MAX = 80;
