/**
 * Conditions as people write them: `coil-a.gas >= setpoint and not (fan or coil-a.state is failed)`.
 *
 *   either    = both { "or" both }
 *   both      = turned { "and" turned }
 *   turned    = "not" turned | "(" either ")" | statement
 *   statement = SIGNAL [ ( ">=" | ">" | "<=" | "<" ) ( AMOUNT | "setpoint" | "clearBelow" ) | "is" STATE ]
 *
 * Every signal is one of the rig's, every amount one that its refrigerant can have; the first mistake ends
 * the reading with its place and one sentence.
 */
import { suggestion } from '../../src/files/index.ts';
import { percentLflOf, toPercentLfl } from '../../src/refrigerant/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import { parseGasAmount } from '../../src/units/index.ts';
import type { Expression } from './expectation.ts';
import { noSuchSignal, type SignalKind, signalsOf } from './signals.ts';
import { type Token, tokensOf } from './tokens.ts';

export type Parsed =
  | { readonly ok: true; readonly expression: Expression }
  /** offset: where in the text, from 0. */
  | { readonly ok: false; readonly offset: number; readonly problem: string };

type Operator = Extract<Expression, { kind: 'compare' }>['operator'];

/** Bounds how deep parentheses can nest. */
export const EXPRESSION_LENGTH_MAX = 1000;

export function parseExpression(text: string, rig: Rig): Parsed {
  if (text.length > EXPRESSION_LENGTH_MAX) {
    return { ok: false, offset: 0, problem: `takes at most ${EXPRESSION_LENGTH_MAX} characters` };
  }
  const reader = new Reader(tokensOf(text), rig);
  try {
    return { ok: true, expression: reader.whole() };
  } catch (error) {
    if (!(error instanceof Mistake)) throw error;
    return { ok: false, offset: error.token.at, problem: error.message };
  }
}

/** Ends the reading from however deep; never leaves this file. */
class Mistake extends Error {
  readonly token: Token;

  constructor(token: Token, message: string) {
    super(message);
    this.token = token;
  }
}

const KEYWORDS = new Set(['and', 'or', 'not', 'is']);
const CONDITION = 'a signal such as fan or coil.gas >= setpoint, "not", or "("';
const COMPARISON = '>= > <= or < for an amount, "is" for a state';
const AMOUNT = 'an amount such as 20 %LFL, setpoint or clearBelow';

/** What other languages write, and what is written here instead. */
export const INSTEAD: Readonly<Record<string, string>> = {
  '=': 'compare with >= > <= or <; a state is told with "is"',
  '==': 'compare with >= > <= or <; a state is told with "is"',
  '!=': 'write "not" before the condition',
  '!': 'write "not"',
  '&&': 'write "and"',
  '||': 'write "or"',
  '≥': 'write >=',
  '≤': 'write <=',
};

/** Of a switch they say the same in other languages. */
const EQUALS = new Set(['=', '==', '!=']);

class Reader {
  readonly #tokens: readonly Token[];
  readonly #rig: Rig;
  readonly #signals: ReadonlyMap<string, SignalKind>;
  #next = 0;

  constructor(tokens: readonly Token[], rig: Rig) {
    this.#tokens = tokens;
    this.#rig = rig;
    this.#signals = signalsOf(rig);
  }

  whole(): Expression {
    const expression = this.#either();
    if (this.#peek().kind !== 'end') throw unexpected(this.#peek(), '"and", "or" or the end');
    return expression;
  }

  #peek(): Token {
    const token = this.#tokens[this.#next];
    if (token === undefined) throw new Error('read past the end');
    return token;
  }

  #take(): Token {
    const token = this.#peek();
    this.#next += 1;
    return token;
  }

  /** Goes past a word if it comes next. */
  #skips(word: string): boolean {
    const { kind, text } = this.#peek();
    if (kind !== 'word' || text !== word) return false;
    this.#next += 1;
    return true;
  }

  #either(): Expression {
    let left = this.#both();
    while (this.#skips('or')) left = { kind: 'or', left, right: this.#both() };
    return left;
  }

  #both(): Expression {
    let left = this.#turned();
    while (this.#skips('and')) left = { kind: 'and', left, right: this.#turned() };
    return left;
  }

  #turned(): Expression {
    if (this.#skips('not')) return { kind: 'not', of: this.#turned() };
    if (this.#peek().kind !== 'open') return this.#statement();
    this.#next += 1;
    const inside = this.#either();
    if (this.#peek().kind !== 'close') throw unexpected(this.#peek(), '"and", "or" or ")"');
    this.#next += 1;
    return inside;
  }

  #statement(): Expression {
    const named = this.#take();
    if (named.kind !== 'word' || KEYWORDS.has(named.text)) throw unexpected(named, CONDITION);
    const signal = this.#signals.get(named.text);
    if (signal === undefined) throw new Mistake(named, this.#strange(named.text));
    const { kind, text } = this.#peek();
    const isCompared = kind === 'operator';
    const isState = kind === 'word' && text === 'is';
    if (kind === 'stranger' && signal.kind !== 'switch') throw unexpected(this.#peek(), COMPARISON);
    const isEqual = kind === 'stranger' && EQUALS.has(text);
    const mistake = misuse(named.text, signal, isCompared || isEqual, isState);
    if (mistake !== null) throw new Mistake(isCompared || isEqual || isState ? this.#peek() : named, mistake);
    if (signal.kind === 'switch') return { kind: 'signal', name: named.text };
    // What stands there is the operator or the word "is": the use was checked.
    this.#next += 1;
    if (signal.kind === 'state') return { kind: 'is', name: named.text, state: this.#state(signal.states) };
    return { kind: 'compare', name: named.text, operator: text as Operator, percentLfl: this.#amount() };
  }

  #strange(name: string): string {
    if (name === 'setpoint' || name === 'clearBelow') {
      return `a comparison begins with its signal, as in coil.gas >= ${name}`;
    }
    const isSensor = this.#rig.sensors.some(({ id }) => id === name);
    const uses = `${name}.gas >= setpoint, ${name}.state is gas or ${name}.answers`;
    return isSensor ? `"${name}" is a sensor; say of it ${uses}` : noSuchSignal(name, this.#rig);
  }

  #state(states: readonly string[]): string {
    const token = this.#take();
    if (states.includes(token.text)) return token.text;
    if (token.text === 'not') throw new Mistake(token, 'write "not" before the signal, not behind "is"');
    if (token.kind !== 'word') throw unexpected(token, `one of ${states.join(', ')}`);
    throw new Mistake(token, `there is no state "${token.text}" here; ${suggestion(token.text, states)}`);
  }

  #amount(): number {
    const token = this.#take();
    const { policy, refrigerant } = this.#rig;
    if (token.text === 'setpoint') return policy.setpoint;
    if (token.text === 'clearBelow') return policy.clearBelow;
    if (token.kind !== 'amount') throw unexpected(token, AMOUNT);
    const amount = parseGasAmount(token.text);
    if ('problem' in amount) throw new Mistake(token, amount.problem);
    const percentLfl = toPercentLfl(amount, refrigerant);
    const pure = percentLflOf(refrigerant.vapourKgPerM3, refrigerant);
    if (percentLfl <= pure) return percentLfl;
    const most = `pure ${refrigerant.name} vapour is ${Math.floor(pure)} %LFL`;
    throw new Mistake(token, `is more than there can be; ${most}`);
  }
}

/** How the signal should be spoken of instead; null where it is used as what it is. */
function misuse(name: string, signal: SignalKind, isCompared: boolean, isState: boolean): string | null {
  switch (signal.kind) {
    case 'switch':
      return isCompared || isState ? `${name} is on or off: write ${name}, or not ${name}` : null;
    case 'amount':
      return isCompared ? null : `${name} is an amount: compare it, as in ${name} >= setpoint`;
    case 'state':
      return isState ? null : `${name} is a word: write ${name} is ${signal.states.join(' or is ')}`;
  }
}

function unexpected(token: Token, takes: string): Mistake {
  const instead = token.kind === 'stranger' ? INSTEAD[token.text] : undefined;
  if (instead !== undefined) return new Mistake(token, `"${token.text}" is not known here; ${instead}`);
  const found = token.kind === 'end' ? 'it ends here' : `"${token.text}" cannot stand here`;
  return new Mistake(token, `${found}; it takes ${takes}`);
}
