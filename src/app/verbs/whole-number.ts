/** An option that takes a whole number. */
import { InvalidArgumentError } from 'commander';

export function wholeNumber(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (/^\d+$/u.test(text) && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`It takes a whole number, ${min} to ${max}.`);
  };
}
