const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/**
 * Waits for Ctrl-C, an orderly kill, or the end of the terminal; or, where a time is given, for that at
 * most.
 */
export function untilInterrupted(forMs: number | null = null): Promise<'interrupted' | 'over'> {
  return new Promise((resolve) => {
    const end = (how: 'interrupted' | 'over'): void => {
      for (const signal of SIGNALS) process.off(signal, stop);
      clearTimeout(timer);
      resolve(how);
    };
    const stop = (): void => {
      end('interrupted');
    };
    for (const signal of SIGNALS) process.on(signal, stop);
    const timer = forMs === null ? undefined : setTimeout(end, forMs, 'over');
  });
}
