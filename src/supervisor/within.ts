/** For the shell; a deadline is one of the line's own things. */
export { within } from '../line/index.ts';
