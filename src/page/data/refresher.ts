/** Asks again no more often than every `gapMs`, never twice at once, and never forgets that it was asked. */
export interface Refresher {
  readonly want: () => void;
}

export function createRefresher(ask: () => Promise<void>, gapMs: number): Refresher {
  let busy = false;
  let wanted = false;
  const begin = (): void => {
    busy = true;
    wanted = false;
    const gap = new Promise((resolve) => setTimeout(resolve, gapMs));
    void Promise.allSettled([ask(), gap]).then(() => {
      busy = false;
      if (wanted) begin();
    });
  };
  return {
    want: () => {
      wanted = true;
      if (!busy) begin();
    },
  };
}
