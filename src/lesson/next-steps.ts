/**
 * What a technician may do next, and whether the equipment may run again: the answers a class chooses
 * from.
 */

export const NEXT_STEPS = {
  'leave-it': 'Nothing: leave it as it is',
  ventilate: 'Keep people and flames away, let the air move, measure before anybody works on it',
  'find-leak': 'Keep the compressors off, find the leak and mend it',
  wait: 'Wait for the hold and the fresh readings; touch nothing',
  'replace-sensor': 'Lock out, replace the sensor, set its address, prove it with test gas',
  'restore-supply': 'Lock out, bring the sensor’s supply back, see it pass its self-test',
  'move-sensor': 'Lock out, mount the sensor where its instructions say',
  'set-addresses': 'Lock out, give each sensor its planned address, prove it by its serial',
  'mend-wire': 'Lock out, find the broken or loose wire and mend it',
  'find-disturbance': 'Lock out, look for what disturbs the line: termination, screen, a second device',
  'find-airflow': 'Lock out, find why no air moves: fan, belt, filter, damper',
  'replace-airflow-switch': 'Lock out, replace the airflow switch and prove it',
  'replace-contactor': 'Cut the supply, lock out, replace the contactor',
  'press-reset': 'Press the service reset',
} as const satisfies Record<string, string>;

export type NextStepId = keyof typeof NEXT_STEPS;
export const NEXT_STEP_IDS = Object.keys(NEXT_STEPS) as readonly NextStepId[];

/** Who lets it run again: nobody has to, the controller by its own rules, or a person who has mended it. */
export const RESTARTS = {
  runs: 'It runs, and may go on',
  'by-itself': 'Yes, when the controller lets go by itself and not before',
  'after-mending': 'No, not before it is mended and proved',
} as const satisfies Record<string, string>;

export type RestartId = keyof typeof RESTARTS;
export const RESTART_IDS = Object.keys(RESTARTS) as readonly RestartId[];
