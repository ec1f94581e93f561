/** The layers of the house; DEVELOPERS.md says why. */
const { folders, shells } = require('./pure-folders.cjs');

const oneOf = (paths) => `^(${paths.join('|').replaceAll('.', '[.]')})`;

module.exports = {
  forbidden: [
    {
      name: 'no-cycle',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'src-knows-nothing-of-sim',
      comment: 'The supervisor can poll real sensors: only the composition root may import the simulator.',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/app/' },
      to: { path: '^sim/' },
    },
    {
      name: 'sim-takes-only-shared-ground',
      severity: 'error',
      from: { path: '^sim/' },
      to: { path: '^src/', pathNot: '^src/(units|files|refrigerant|rig|modbus|sensor|clock|lesson|text)/' },
    },
    {
      name: 'judge-agrees-with-nobody',
      comment: 'A judge that shares code with what it judges would repeat its mistakes.',
      severity: 'error',
      from: { path: '^sim/judge/' },
      to: { path: '^src/(mitigation|belief|supervisor)/' },
    },
    {
      name: 'page-folds-events-only',
      severity: 'error',
      from: { path: '^src/page/' },
      to: { path: '^(src|sim)/', pathNot: '^src/(page|events|units|lesson|text)/' },
    },
    {
      name: 'cores-are-pure',
      comment: 'Cores take time and randomness as inputs and do no I/O; eslint sees to the globals.',
      severity: 'error',
      from: { path: `${oneOf(folders)}/`, pathNot: `${oneOf(shells)}$` },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'lines-know-no-asker',
      comment: 'The supervisor and a survey ask on the same lines; neither is a part of the other.',
      severity: 'error',
      from: { path: '^src/line/' },
      to: { path: '^src/', pathNot: '^src/(line|modbus|rig|text|units)/' },
    },
    {
      name: 'procedures-open-no-line',
      comment: 'They yield what to ask, so that a test can answer it from a world in memory.',
      severity: 'error',
      from: { path: '^src/(survey|assign)/', pathNot: `${oneOf(shells)}$` },
      to: { path: '^src/(line|supervisor)/' },
    },
    {
      name: 'not-to-unresolvable',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    exclude: { path: '^tests/\\.tmp/' },
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.js'],
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default'],
    },
  },
};
