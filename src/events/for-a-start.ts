/** What a supervisor that starts asks a record for: how it was left, and its gas trips. */
import type { EventId } from './catalogue.ts';

export const COURSE: readonly EventId[] = ['supervisor.started', 'supervisor.stopped', 'mitigation.changed'];
export const FOR_A_START: readonly EventId[] = [...COURSE, 'trip.counted'];
