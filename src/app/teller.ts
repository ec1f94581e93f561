/**
 * Facts for the record, from where nothing may stop because it takes none: the log says so, and later the
 * record itself, by how many are not in it.
 */
import type { Logger } from 'pino';
import { type Fact, factsLost } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';

export type Tell = (facts: readonly Fact[]) => void;

export function tellerTo(record: Pick<EventRecord, 'append'>, log: Logger): Tell {
  let lost = 0;
  return (facts) => {
    const [first] = facts;
    if (first === undefined) return;
    try {
      record.append(lost === 0 ? facts : [factsLost(lost, first.atMs), ...facts]);
      if (lost > 0) log.warn({ lost }, 'the record takes events again');
      lost = 0;
    } catch (error) {
      if (lost === 0) log.error({ err: error }, 'the record takes nothing');
      lost += facts.length;
    }
  };
}
