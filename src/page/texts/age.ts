/** How long ago something was, in whole seconds, so that a line of text does not flicker. */
import { formatDuration } from '../../units/format.ts';

export function ago(ageMs: number): string {
  return ageMs < 1000 ? 'just now' : `${wholeSeconds(ageMs)} ago`;
}

export function wholeSeconds(durationMs: number): string {
  return durationMs < 1000 ? '0 s' : formatDuration(Math.floor(durationMs / 1000) * 1000);
}
