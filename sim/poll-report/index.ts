export { PollFold, type ThrownAway } from './poll-fold.ts';
export { RecentPolls } from './recent-polls.ts';
export type { Advice, PollReport } from './report.ts';
