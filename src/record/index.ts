export {
  type EventRecord,
  openRecord,
  READ_EVENTS_MAX,
  RECORD_BYTES_MIN,
  type RecordOptions,
} from './event-record.ts';
export { RecordError, type RecordTrouble } from './record-error.ts';
export { type Count, missing, openReader, type RecordReader } from './record-reader.ts';
export { type RestartKnowledge, restartKnowledge, type ThisProcess } from './restart.ts';
export { type Unsound, type Verification, verifyRecord } from './verify.ts';
