/** Options that take a whole number. */
import { InvalidArgumentError } from 'commander';

export function wholeNumber(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (/^\d+$/u.test(text) && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`It takes a whole number, ${min} to ${max}.`);
  };
}

/** `--seed`: of everything drawn by chance. */
export const seed = wholeNumber(0, 0x7fffffff);
