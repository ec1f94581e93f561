export { applyStep } from './apply.ts';
export { calmUntilMs } from './calm.ts';
export { LiveWorld } from './live-world.ts';
export type { Observation, Observe } from './observation.ts';
export type { WorldPicture } from './picture.ts';
export type { ContactSite, SensorSite, Site } from './site.ts';
export { World, type WorldOptions } from './world.ts';
