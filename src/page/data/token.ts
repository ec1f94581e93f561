/**
 * The token that the page was opened with or was given since. It leaves the address bar at once, since that
 * may be on a wall for a class to read, and stays with this tab alone, so that it outlives a reload.
 */
import { ifAllowed } from './storage.ts';

const KEY = 'leakbench.token';
const PARAMETER = 'token';

let token = taken();

/** null where there is none yet. */
export function pageToken(): string | null {
  return token;
}

export function setPageToken(value: string): void {
  token = value;
  keep(value);
}

function taken(): string | null {
  const url = new URL(location.href);
  const given = url.searchParams.get(PARAMETER);
  if (given === null) return ifAllowed(() => sessionStorage.getItem(KEY));
  keep(given);
  url.searchParams.delete(PARAMETER);
  history.replaceState(history.state, '', url);
  return given;
}

function keep(value: string): void {
  ifAllowed(() => {
    sessionStorage.setItem(KEY, value);
  });
}
