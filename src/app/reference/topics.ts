/** What the reference tells of; apart from what tells it, since `--help` lists them. */
export const TOPICS = [
  'commands',
  'rules',
  'faults',
  'events',
  'registers',
  'signals',
  'rig',
  'drill',
  'profile',
] as const;
export type Topic = (typeof TOPICS)[number];
