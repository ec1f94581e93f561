export { type EventRecord, openRecord, READ_EVENTS_MAX, type RecordOptions } from './event-record.ts';
export { RecordError, type RecordTrouble } from './record-error.ts';
export { type RestartKnowledge, restartKnowledge } from './restart.ts';
