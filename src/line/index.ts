export { FramedLine, type LineOptions, type LineWatcher, type Told, UNWATCHED } from './framed-line.ts';
export { lineAt } from './line-at.ts';
export { numbersMayPass, refusalsMayPass } from './owed-answers.ts';
export { socketLine } from './raw-line.ts';
export { probeSerial } from './serial-line.ts';
export { CONNECT_MS_MAX, type Settled, within } from './within.ts';
