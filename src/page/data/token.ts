/**
 * The token that the page was opened with or was given since. It leaves the address bar at once, since that
 * may be on a wall for a class to read, and stays with this tab alone, so that it outlives a reload.
 */

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
  if (given === null) return kept();
  keep(given);
  url.searchParams.delete(PARAMETER);
  history.replaceState(history.state, '', url);
  return given;
}

/** A browser may keep nothing for anybody; then the token lasts until a reload. */
function keep(value: string): void {
  try {
    sessionStorage.setItem(KEY, value);
  } catch {
    // The address bar is clean all the same.
  }
}

function kept(): string | null {
  try {
    return sessionStorage.getItem(KEY);
  } catch {
    return null;
  }
}
