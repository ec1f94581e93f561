export { type Ask, type Asking, ask, askSteadily, type Heard } from './asking.ts';
export { compare } from './compare.ts';
export { type Exchange, exchangeOn } from './exchange.ts';
export { type Difference, type Finding, inWords } from './finding.ts';
export { type Found, findSensor, lookAt, type Present, type Seen } from './look.ts';
export { LineLost, perform, put } from './perform.ts';
export { answersAlike } from './same-answer.ts';
export * from './spot.ts';
export { whoText } from './who.ts';
