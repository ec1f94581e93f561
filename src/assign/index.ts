export { type AssignJob, assign, type Ending, type Move } from './assign.ts';
export { factOf, type Note, noteText } from './note.ts';
