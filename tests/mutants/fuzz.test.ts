import { test } from 'vitest';
import { readStep } from '../../sim/drill/step.ts';
import { loadRig } from '../../src/rig/index.ts';
import { ms } from '../../src/units/index.ts';
import { RULE_IDS } from '../../sim/judge/rules.ts';
import { builtIn, inLines } from './judged.ts';
import { inProcess, SOUND } from './variant.ts';
import { LEGAL } from './legal.ts';
function rng(seed: number) { let s = seed >>> 0; return () => { s = (s * 1664525 + 1013904223) >>> 0; return s / 2 ** 32; }; }
test('fuzz', async () => {
  const rigs = ['src/rig/tide-street.rig.yaml', 'sim/drill/library/locks-at-first-gas.rig.yaml', 'sim/drill/library/locks-at-third-gas.rig.yaml'].map((f) => { const r = loadRig(f); if (!r.ok) throw new Error(); return { ...r.value, policy: { ...r.value.policy, holdMs: ms(60000), resumeWithinMs: ms(60000), compressorMinOffMs: ms(40000) } }; });
  const from = Number(process.env['FROM'] ?? 1), to = Number(process.env['TO'] ?? 60);
  let ran = 0; const seen = new Map<string, string[]>();
  for (let seed = from; seed < to; seed += 1) {
    const r = rng(seed * 7919 + 13); for (let i = 0; i < 5; i += 1) r();
    const pick = <T,>(a: readonly T[]): T => a[Math.floor(r() * a.length)] as T;
    const rig = rigs[seed % 3]!;
    const steps = Array.from({ length: 3 + Math.floor(r() * 9) }, () => {
      const s = `${1 + Math.floor(r() * 90)} s`;
      const coil = pick(['coil-a', 'coil-b']);
      const w = pick<() => unknown>([
        () => ({ testGas: { at: pick(['coil-a', 'coil-b', 'grille']), level: `${pick([10, 17, 18, 19, 20, 30, 60])} %LFL`, lasts: s } }),
        () => ({ release: { at: pick(['cabinet', 'room-low']), rate: `${pick([1, 10, 40])} g/s`, lasts: s } }),
        () => ({ fault: { in: coil, kind: pick(['silent', 'self-failed', 'stuck', 'stuck-state', 'stuck-warm-up', 'frozen-counter', 'no-power', 'blind']), lasts: s } }),
        () => ({ fault: { in: coil, kind: 'silent', lasts: s, probability: 0.5 } }),
        () => ({ fault: { in: coil, kind: 'reboots', every: `${pick([5, 8, 20])} s`, lasts: s } }),
        () => ({ fault: { in: 'grille', kind: pick(['wire-open', 'wire-short', 'no-power']), lasts: s } }),
        () => ({ fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b', lasts: s } }),
        () => ({ fault: { in: 'fan', kind: 'fan-dead', lasts: s } }),
        () => ({ fault: { in: 'airflow', kind: 'airflow-switch-stuck', lasts: s } }),
        () => ({ fault: { in: 'fieldIo', kind: 'io-silent', lasts: s } }),
        () => ({ power: { to: 'controller', cut: s } }),
        () => ({ power: { to: 'rig', cut: s } }),
        () => ({ power: { to: coil, cut: s } }),
        () => ({ serviceReset: {} }),
        () => ({ serviceReset: {} }),
        () => ({ fire: 'on' }), () => ({ fire: 'off' }),
        () => ({ call: { [pick(['cooling', 'heating', 'fan'])]: pick(['on', 'off', 'on']) } }),
      ])();
      const read = readStep(w, rig); if (!read.ok) throw new Error(read.problem);
      return { atMs: ms(Math.floor(r() * 400) * pick([1000, 1000, 997])), step: read.step, w };
    }).sort((a, b) => a.atMs - b.atMs);
    const drill = { name: '', why: '', file: '', text: '', rigFile: '', rig, lengthMs: ms(600_000), calls: { cooling: r() < 0.6, heating: r() < 0.4, fan: false }, steps, rules: RULE_IDS, expectations: [] };
    const runs = [['sample', await inLines(drill, inProcess(SOUND))], ['built', builtIn(drill)]] as [string, { complaints: readonly string[]; broken: readonly string[] }][];
    if (process.env['LEGAL']) for (const [n, v] of LEGAL) runs.push([n, await inLines(drill, inProcess(v))]);
    for (const [who, run] of runs) {
      ran += 1;
      for (const b of run.broken) seen.set(`${who} ${b}`, [...(seen.get(`${who} ${b}`) ?? []), String(seed)]);
      if (run.broken.length && process.env['SHOW'] === `${seed}`) console.log(who, run.complaints, JSON.stringify(steps.map((x) => [x.atMs / 1000, x.w])), JSON.stringify(drill.calls));
    }
  }
  console.log(ran, [...seen].map(([k, v]) => `${k}: ${v.join(' ')}`).join('\n'));
}, 600000);
