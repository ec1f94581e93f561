/**
 * What can be wrong with the chain, as a class is asked about it. `station` is the station of the ring at
 * which it sits, which lights up when the cause is told.
 */

export type Station = 'gas' | 'sensors' | 'wire' | 'belief' | 'mitigation' | 'commands' | 'equipment';

interface Row {
  readonly words: string;
  /** null where nothing is wrong. */
  readonly station: Station | null;
}

export const CAUSES = {
  none: { words: 'Nothing is wrong: this is how it should be', station: null },
  leak: { words: 'Refrigerant is leaking', station: 'gas' },
  'other-gas': { words: 'Another gas is there, no refrigerant', station: 'gas' },
  'sensor-silent': { words: 'A sensor has its supply and does not answer', station: 'sensors' },
  'sensor-without-supply': { words: 'A sensor has no supply', station: 'sensors' },
  'sensor-failed': { words: 'A sensor has failed its own test', station: 'sensors' },
  'sensor-stands-still': {
    words: 'A sensor gives the same number whatever the air holds',
    station: 'sensors',
  },
  'sensor-worn-out': { words: 'A sensor is at the end of its service life', station: 'sensors' },
  'sensor-misplaced': { words: 'A sensor is mounted at the wrong place', station: 'sensors' },
  'addresses-exchanged': { words: 'Two sensors hold each other’s address', station: 'wire' },
  'same-address': { words: 'Two devices hold the same address', station: 'wire' },
  'wire-broken': { words: 'A wire is broken or has come off', station: 'wire' },
  'line-disturbed': { words: 'The Modbus line is disturbed', station: 'wire' },
  'no-airflow': { words: 'The fan is commanded and moves no air', station: 'equipment' },
  'airflow-switch': { words: 'The airflow switch does not tell what the air does', station: 'equipment' },
  'compressor-welded': { words: 'A contactor is welded: its compressor always runs', station: 'equipment' },
  controller: { words: 'The controller does not do what it should', station: 'mitigation' },
} as const satisfies Record<string, Row>;

export type CauseId = keyof typeof CAUSES;
export const CAUSE_IDS = Object.keys(CAUSES) as readonly CauseId[];
