/** Answers every line at once, keeps everything off, and never mitigates. */
export const IDLE =
  `exec:${process.execPath} -e "require('readline').createInterface({ input: process.stdin }).on('line', (l) => ` +
  `console.log(JSON.stringify(JSON.parse(l).reset ? { ready: true } : { fan: false, damper: false, heat: false, ` +
  `alarm: false, trouble: false, compressors: { a: false, b: false } })))"`;
