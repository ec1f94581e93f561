/**
 * Who printed a number of the table, and how sure we are of it. A number is never copied without its source:
 * standards disagree about the same fluid, and a reader must be able to look it up.
 */

/** "seen": read in the text itself; "seen second hand": in a text that restates it; "memory": recalled. */
export const HOW_SURE = ['seen', 'seen second hand', 'memory', 'computed'] as const;
export type HowSure = (typeof HOW_SURE)[number];

export interface Source {
  /** As it stands behind a number in a sentence. */
  readonly short: string;
  /** Title, edition or instruction. */
  readonly title: string;
  readonly sure: HowSure;
}

/** By the short id under which a rig chooses a source (`lflFrom`). */
export const SOURCES = {
  rd552: {
    short: 'RD 552/2019 IF-02',
    title: 'Real Decreto 552/2019 (BOE-A-2019-15228; built on EN 378:2016 and ISO 817), IF-02 Table A',
    sure: 'seen',
  },
  'rd552-if04': {
    short: 'RD 552/2019 IF-04',
    title: 'Real Decreto 552/2019, IF-04 Appendix 4 Table A (as EN 378-1 Annex C.3)',
    sure: 'seen',
  },
  // Apart from all standards: a check on them, and the only vapour densities that are right for blends.
  coolprop: {
    short: 'CoolProp 8.0.0',
    title: 'CoolProp 8.0.0, reference equations of state at 101.325 kPa',
    sure: 'computed',
  },
  ashrae34: {
    short: 'ANSI/ASHRAE 34',
    title: 'ANSI/ASHRAE 34, edition not noted',
    sure: 'memory',
  },
  'ashrae34-vol': {
    short: 'ANSI/ASHRAE 34',
    title: 'ANSI/ASHRAE 34, edition not noted, % of volume',
    sure: 'memory',
  },
  'ashrae34-restated': {
    short: 'ANSI/ASHRAE 34',
    title: 'ANSI/ASHRAE 34, edition not noted, as another text restates it',
    sure: 'seen second hand',
  },
  'ashrae34-2019f': {
    short: 'ANSI/ASHRAE 34-2019 Addendum f',
    title: 'ANSI/ASHRAE 34-2019 Addendum f',
    sure: 'seen second hand',
  },
  'ashrae34-wcff': {
    short: 'an addendum to ANSI/ASHRAE 34',
    title: 'an addendum to ANSI/ASHRAE 34, not named, % of volume',
    sure: 'seen second hand',
  },
  // Which of the two figures is whose was not read, so both stand there.
  iec60335: {
    short: 'IEC/UL 60335-2-40',
    title: 'IEC and UL 60335-2-40 and ANSI/ASHRAE 34-2022; 0.296 and 0.297 are both found',
    sure: 'memory',
  },
  'iec60335-low': {
    short: 'IEC/UL 60335-2-40',
    title: 'IEC and UL 60335-2-40 and ANSI/ASHRAE 34-2022; the lower of the two figures found',
    sure: 'memory',
  },
  training: {
    short: 'US training material',
    title: 'training material of the trade in the United States, % of volume',
    sure: 'seen second hand',
  },
  // Honest about what is not known: the figure was found, its source was not.
  restated: {
    short: 'a restated table',
    title: 'a published table that another text restates without naming it',
    sure: 'seen second hand',
  },
  recalled: {
    short: 'a published figure',
    title: 'a published figure, its source not recalled; read the standard before relying on it',
    sure: 'memory',
  },
} as const satisfies Record<string, Source>;

export type SourceId = keyof typeof SOURCES;

/** "RD 552/2019 IF-02 (seen)". */
export function sourceText(id: SourceId): string {
  return `${SOURCES[id].short} (${SOURCES[id].sure})`;
}
