const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Waits for Ctrl-C, an orderly kill, or the end of the terminal. */
export function untilInterrupted(): Promise<void> {
  return new Promise((resolve) => {
    const stop = (): void => {
      for (const signal of SIGNALS) process.off(signal, stop);
      resolve();
    };
    for (const signal of SIGNALS) process.on(signal, stop);
  });
}
