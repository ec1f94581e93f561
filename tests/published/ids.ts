/**
 * Every published or worked-out value that the bench is held against, by an id of our own. The tests of this
 * folder say beside each what its source is and how sure we are of it; every-check.test.ts counts them.
 */
export const CHECK_IDS = [
  // Refrigerants and concentrations.
  ...['1.1', '1.2', '1.3', '1.4', '1.5'],
  // Charge, room and airflow.
  ...['3.1', '3.2a', '3.2b', '3.2c', '3.2d', '3.2e', '3.3', '3.4', '3.5a', '3.5b', '3.5c'],
  // Dilution.
  ...['4.1', '4.2', '4.3', '4.4', '4.5'],
  // Detectors.
  ...['5.1', '5.2', '5.3'],
  // Methods.
  ...['8.1', '8.2', '8.3', '8.4'],
] as const;
