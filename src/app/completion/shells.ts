/** The shells that a script is written for; apart from the scripts, since `--help` lists them. */
export const SHELLS = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof SHELLS)[number];
