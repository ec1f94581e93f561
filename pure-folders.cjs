/** The folders without clock, chance or input and output; the layers and the linter read it here. */
module.exports = {
  folders: [
    'src/units',
    'src/text',
    'src/refrigerant',
    'src/figures',
    'src/budget',
    'src/modbus',
    'src/poll',
    'src/belief',
    'src/mitigation',
    'src/survey',
    'src/assign',
    'src/lesson',
    'src/class',
    'sim/gas',
    'sim/device',
    'sim/equipment',
    'sim/faults',
    'sim/world',
    'sim/drill',
    'sim/judge',
    'sim/seek',
    'sim/poll-report',
  ],
  /** What reads files, or carries a procedure to a line. */
  shells: [
    'sim/drill/load-drill.ts',
    'sim/drill/shipped.ts',
    'src/survey/exchange.ts',
    'src/survey/perform.ts',
  ],
};
