/**
 * The rows of the refrigerant table, nothing else: every number with the id of its source (sources.ts).
 *
 * The first LFL of a row is the one followed where a rig does not choose. Numbers are as printed; where one
 * is known to be misprinted, its note says so and what to use instead. What was not read is left out: a blank
 * is honest, a number filled in from elsewhere is not. Temperatures: boiling of a pure fluid, bubble and dew
 * of a blend, °C at 101.325 kPa.
 */
import { part, type RefrigerantRow, row } from './row.ts';

const FRACTIONATED =
  'worst fractionated formulation: it implies a vapour of 112 g/mol, almost pure R-1234yf, not of the blend as filled';
const THIN = 'misprinted: the molar mass and the equation of state both give more';

export const ROWS: readonly RefrigerantRow[] = [
  row('R-32', 'A2L', 'pure', {
    molarMass: { rd552: 52.0, coolprop: 52.024 },
    lfl: { rd552: '0.307 kg/m3', ashrae34: '0.306 kg/m3', 'ashrae34-vol': '14.4 %vol' },
    uflPercentVol: [29, 33],
    boilingC: { rd552: -52, coolprop: -51.65 },
    vapour: { coolprop: 2.1531 },
    practicalLimit: 0.061,
    toxicLimit: 0.3,
    autoignitionC: 648,
    restricted: { rcl: 0.061, qlmv: 0.063, qlav: 0.15 },
  }),
  row('R-1234yf', 'A2L', 'pure', {
    molarMass: { rd552: 114, coolprop: 114.042 },
    lfl: { rd552: '0.289 kg/m3', recalled: '6.2 %vol' },
    uflPercentVol: [12.3, 12.3],
    boilingC: { rd552: -26, coolprop: -29.46 },
    vapour: { coolprop: 4.7664 },
    practicalLimit: 0.058,
    toxicLimit: 0.47,
    autoignitionC: 405,
    restricted: { rcl: 0.058, qlmv: 0.06, qlav: 0.14 },
    notes: ['boiling point of RD 552/2019, −26 °C, is misprinted; use −29.5 °C (CoolProp 8.0.0, computed)'],
  }),
  row('R-1234ze(E)', 'A2L', 'pure', {
    molarMass: { rd552: 114, coolprop: 114.042 },
    lfl: { rd552: '0.303 kg/m3', recalled: '6.5 %vol' },
    uflPercentVol: [9.5, 9.5],
    boilingC: { rd552: -19, coolprop: -18.97 },
    vapour: { coolprop: 4.7743 },
    practicalLimit: 0.061,
    autoignitionC: 368,
    restricted: { rcl: 0.061, qlmv: 0.063, qlav: 0.15 },
    notes: ['6.5 %vol needs 60 °C or humid air (memory)'],
  }),
  // Blends. Their LFL is that of the worst composition within tolerance, so Le Chatelier on the nominal one
  // (blend.ts) only comes near it.
  row('R-452B', 'A2L', [part('R-32', 67), part('R-125', 7), part('R-1234yf', 26)], {
    molarMass: { rd552: 63.5, coolprop: 63.525 },
    lfl: { rd552: '0.310 kg/m3', 'ashrae34-2019f': '0.3105 kg/m3' },
    bubbleDewC: { rd552: [-51.0, -50.3], coolprop: [-50.88, -49.91] },
    vapour: { coolprop: 2.6313 },
  }),
  row('R-454A', 'A2L', [part('R-32', 35), part('R-1234yf', 65)], {
    molarMass: { rd552: 80.5, coolprop: 80.468 },
    lfl: { rd552: '0.278 kg/m3', 'ashrae34-restated': '0.2939 kg/m3' },
    bubbleDewC: { rd552: [-48.4, -41.6], coolprop: [-48.1, -41.41] },
    vapour: { coolprop: 3.3399, rd552: 2.8 },
    notes: [`vapour density of RD 552/2019 is ${THIN}`],
  }),
  // Five figures for one fluid, 0.288 to 0.353 kg/m3: why every LFL here has the name of its source.
  row('R-454B', 'A2L', [part('R-32', 68.9), part('R-1234yf', 31.1)], {
    molarMass: { rd552: 62.6, coolprop: 62.614 },
    lfl: {
      rd552: '0.301 kg/m3',
      iec60335: '0.297 kg/m3',
      'iec60335-low': '0.296 kg/m3',
      'ashrae34-2019f': `0.3526 kg/m3; ${FRACTIONATED}`,
      'ashrae34-wcff': `7.7 %vol; ${FRACTIONATED}`,
      training: '11.25 %vol',
    },
    bubbleDewC: { rd552: [-50.9, -50.0], coolprop: [-50.74, -49.53] },
    vapour: { coolprop: 2.5936, rd552: 2.2 },
    practicalLimit: 0.061,
    toxicLimit: 0.35,
    notes: [`vapour density of RD 552/2019 is ${THIN}`],
  }),
  row('R-454C', 'A2L', [part('R-32', 21.5), part('R-1234yf', 78.5)], {
    molarMass: { rd552: 90.8, coolprop: 90.776 },
    lfl: { rd552: '0.291 kg/m3', restated: '0.2895 kg/m3', recalled: '0.293 kg/m3' },
    bubbleDewC: { rd552: [-46.0, -37.8], coolprop: [-45.37, -37.18] },
    vapour: { coolprop: 3.7738, rd552: 3.2 },
    notes: [`vapour density of RD 552/2019 is ${THIN}`],
  }),
  row('R-455A', 'A2L', [part('R-744', 3), part('R-32', 21.5), part('R-1234yf', 75.5)], {
    molarMass: { rd552: 87.5, coolprop: 87.453 },
    lfl: { rd552: '0.423 kg/m3', restated: '0.4321 kg/m3' },
    bubbleDewC: { rd552: [-51.6, -39.1], coolprop: [-52.15, -38.61] },
    vapour: { coolprop: 3.632 },
  }),
  // Other classes: for figures and comparison, and as parts of blends. A rig takes class A2L alone.
  row('R-152a', 'A2', 'pure', {
    molarMass: { rd552: 66.0, coolprop: 66.051 },
    lfl: { rd552: '0.130 kg/m3', recalled: '4.8 %vol' },
    uflPercentVol: [17, 18],
    boilingC: { rd552: -25, coolprop: -24.02 },
    vapour: { coolprop: 2.759 },
  }),
  row('R-290', 'A3', 'pure', {
    molarMass: { rd552: 44.0, coolprop: 44.096 },
    lfl: { rd552: '0.038 kg/m3', recalled: '2.1 %vol' },
    uflPercentVol: [9.5, 10],
    boilingC: { rd552: -42, coolprop: -42.11 },
    vapour: { coolprop: 1.832 },
    practicalLimit: 0.008,
    autoignitionC: 470,
  }),
  row('R-717', 'B2L', 'pure', {
    molarMass: { rd552: 17.0, coolprop: 17.031 },
    lfl: { rd552: '0.116 kg/m3', recalled: '16.7 %vol' },
    uflPercentVol: [25, 28],
    boilingC: { rd552: -33, coolprop: -33.32 },
    vapour: { coolprop: 0.7035 },
    practicalLimit: 0.00035,
  }),
  // Does not burn: what the A2L fluids stand in for.
  row('R-410A', 'A1', [part('R-32', 50), part('R-125', 50)], {
    molarMass: { rd552: 72.6 },
    lfl: {},
    bubbleDewC: { rd552: [-51.6, -51.5] },
    vapour: {},
  }),
];
