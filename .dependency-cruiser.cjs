/** The layers of the house; DEVELOPERS.md says why. */
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
      comment: 'Cores take time and randomness as inputs and do no I/O.',
      severity: 'error',
      from: {
        path: '^(src/(units|refrigerant|figures|poll|belief|mitigation|modbus|lesson|class)/|sim/(gas|device|equipment|judge)/)',
      },
      to: { dependencyTypes: ['core'] },
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
