export { PollFold, type ThrownAway } from './poll-fold.ts';
export type { Advice, PollReport } from './report.ts';
