/** Facts for the record, from where nothing may stop because it takes none: the log says so. */
import type { Logger } from 'pino';
import type { Fact } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';

export type Tell = (facts: readonly Fact[]) => void;

export function tellerTo(record: Pick<EventRecord, 'append'>, log: Logger): Tell {
  return (facts) => {
    try {
      record.append(facts);
    } catch (error) {
      log.error({ err: error }, 'the record takes nothing');
    }
  };
}
