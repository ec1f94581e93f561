/** What requests do not tell, said beside the advice: no advice about these is no praise. */
export const UNSEEN: readonly string[] = [
  'Which of two registers a controller takes for the high word of a 32-bit number it reads: both orders ask for ' +
    'the same registers. Only a number that it writes, or half a number that it asks for, gives it away. Hold ' +
    'test gas at a sensor and compare what the controller shows.',
  'What a controller makes of any value: its scale, its sign, its bits and its limits. Drills judge what it does.',
  'Two controllers that ask for the same in exactly opposite phase: they look like one that asks twice as often.',
  'What happens on the controller’s own side of its connection, such as answers that it hears and throws away.',
  'How many connections a controller opens and leaves open: requests are counted by line, whichever way they come.',
];
