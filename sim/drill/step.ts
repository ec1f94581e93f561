/**
 * Steps: what a drill, the API or the page does to the bench. One schema serves them all; a step's names
 * and levels are checked against the rig it is for.
 */
import { z } from 'zod';
import { type Finding, nearTo, suggestion, validate } from '../../src/files/index.ts';
import { percentLflOf, toPercentLfl } from '../../src/refrigerant/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import { FAULT_KINDS, FAULTS, type Fault, type FaultTarget, isFaultKind, type Row } from '../faults/index.ts';
import { type ReleaseStep, releaseStep } from './release-step.ts';
import {
  type CallFile,
  FAULT_FIELDS,
  type FaultFile,
  type MendFile,
  type PowerFile,
  type ReleaseFile,
  stepSchema,
  type TestGasFile,
} from './step-schema.ts';
import { sensorsOf, suppliedOf, TARGET_WORDS, targetsOf } from './targets.ts';

/** A step that the world can carry out as it is. */
export type Step =
  | ReleaseStep
  | { readonly kind: 'endRelease' }
  | {
      readonly kind: 'testGas';
      readonly sensor: string;
      readonly percentLfl: number;
      readonly lastsMs: number | null;
    }
  | { readonly kind: 'endTestGas'; readonly sensor: string }
  | { readonly kind: 'fault'; readonly in: string; readonly fault: Fault; readonly lastsMs: number | null }
  | { readonly kind: 'mend'; readonly in: string; readonly faultKind: string | null }
  | { readonly kind: 'call'; readonly calls: Partial<Record<'cooling' | 'heating' | 'fan', boolean>> }
  /** cutMs: how long; null until restored. */
  | { readonly kind: 'cutPower'; readonly to: string; readonly cutMs: number | null }
  | { readonly kind: 'restorePower'; readonly to: string }
  | { readonly kind: 'serviceReset' }
  | { readonly kind: 'fire'; readonly on: boolean };

export type StepOutcome =
  | { readonly ok: true; readonly step: Step }
  | {
      readonly ok: false;
      /** One sentence, which starts with the path. */
      readonly problem: string;
      /** What of the step it speaks of: a value, or a key that is not known. */
      readonly path: Finding['path'];
      readonly at: Finding['at'];
    };

/** Checks a written step against the rig; a problem is one sentence that says what to write instead. */
export function readStep(written: unknown, rig: Rig): StepOutcome {
  const checked = validate(stepSchema, written);
  if (!checked.ok) return refusedBy(checked.findings);
  const { release, testGas, fault, mend, call, power, fire } = checked.value;
  if (release !== undefined) return releaseOrEnd(release, rig);
  if (testGas !== undefined) return testGasStep(testGas, rig);
  if (fault !== undefined) return faultStep(fault, rig);
  if (mend !== undefined) return mendStep(mend, rig);
  if (call !== undefined) return taken({ kind: 'call', calls: callsOf(call) });
  if (power !== undefined) return powerStep(power, rig);
  return taken(fire === undefined ? { kind: 'serviceReset' } : { kind: 'fire', on: fire });
}

function taken(step: Step): StepOutcome {
  return { ok: true, step };
}

function refused(path: string, message: string): StepOutcome {
  return { ok: false, problem: `${path}: ${message}`, path: path.split('.'), at: 'value' };
}

/** One mistake at a time: a second is often its echo, as is a key that is missing where one is misspelt. */
function refusedBy(findings: readonly Finding[]): StepOutcome {
  const first = findings.find(({ at }) => at === 'key') ?? findings[0];
  if (first === undefined) throw new Error('refused without a finding');
  return { ok: false, problem: first.message, path: first.path, at: first.at };
}

/** The step, if the rig has what it names. */
function onKnown(path: string, id: string, known: readonly string[], step: Step): StepOutcome {
  return known.includes(id) ? taken(step) : refused(path, `there is no "${id}"; ${suggestion(id, known)}`);
}

function releaseOrEnd(release: ReleaseFile | null, rig: Rig): StepOutcome {
  if (release === null) return taken({ kind: 'endRelease' });
  const step = releaseStep(release, rig);
  return typeof step === 'string' ? refused('release.pressure', step) : taken(step);
}

function testGasStep({ at, level, lasts }: TestGasFile, rig: Rig): StepOutcome {
  const sensors = sensorsOf(rig);
  if (level === null) return onKnown('testGas.at', at, sensors, { kind: 'endTestGas', sensor: at });
  const percentLfl = toPercentLfl(level, rig.refrigerant);
  const pure = percentLflOf(rig.refrigerant.vapourKgPerM3, rig.refrigerant);
  if (percentLfl > pure) {
    const most = `pure ${rig.refrigerant.name} vapour is ${Math.floor(pure)} %LFL`;
    return refused('testGas.level', `takes less; ${most}`);
  }
  const step: Step = { kind: 'testGas', sensor: at, percentLfl, lastsMs: lasts ?? null };
  return onKnown('testGas.at', at, sensors, step);
}

function faultStep(written: FaultFile, rig: Rig): StepOutcome {
  const { in: subject, kind } = written;
  const targets = targetsOf(rig);
  const target = targets.get(subject);
  if (target === undefined)
    return refused('fault.in', `there is no "${subject}"; ${suggestion(subject, [...targets.keys()])}`);
  if (!isFaultKind(kind)) return refused('fault.kind', noFault(kind, target));
  const row: Row = FAULTS[kind];
  if (!row.targets.includes(target)) {
    const owners = row.targets.map((one) => TARGET_WORDS[one]).join(' or ');
    return refused('fault.kind', `${kind} is a fault of ${owners}, not of ${TARGET_WORDS[target]}`);
  }
  const whole = z.strictObject({ ...FAULT_FIELDS, ...row.parameters.shape });
  const checked = validate(z.object({ fault: whole }), { fault: written });
  if (!checked.ok) return refusedBy(checked.findings);
  const { lasts, probability } = checked.value.fault;
  const isParameter = (key: string): boolean => Object.hasOwn(row.parameters.shape, key);
  const parameters = Object.fromEntries(
    Object.entries(checked.value.fault).filter(([key]) => isParameter(key)),
  );
  const fault = { kind, parameters, probability: probability ?? row.usually } as Fault;
  return (
    twinProblem(fault, subject, rig) ?? taken({ kind: 'fault', in: subject, fault, lastsMs: lasts ?? null })
  );
}

/** A word that is near, whatever it is a fault of; else what there is for the target. */
function noFault(kind: string, target: FaultTarget): string {
  const near = nearTo(kind, FAULT_KINDS);
  const own = FAULT_KINDS.filter((one) => (FAULTS[one] as Row).targets.includes(target));
  return `"${kind}" is not a fault; ${near === null ? suggestion(kind, own) : suggestion(kind, FAULT_KINDS)}`;
}

/** Two can hold each other's address only where both are asked on one line. */
function twinProblem(fault: Fault, subject: string, rig: Rig): StepOutcome | null {
  if (fault.kind !== 'swapped') return null;
  const lineOf = new Map(rig.sensors.flatMap((one) => (one.kind === 'modbus' ? [[one.id, one.line]] : [])));
  const others = [...lineOf].filter(([id, line]) => id !== subject && line === lineOf.get(subject));
  if (others.some(([id]) => id === fault.parameters.with)) return null;
  const names = others.map(([id]) => id).join(', ') || 'there is none';
  return refused('fault.with', `takes another Modbus sensor of its line: ${names}`);
}

function mendStep({ in: subject, kind }: MendFile, rig: Rig): StepOutcome {
  if (kind !== undefined && !isFaultKind(kind))
    return refused('mend.kind', `"${kind}" is not a fault; ${suggestion(kind, FAULT_KINDS)}`);
  const step: Step = { kind: 'mend', in: subject, faultKind: kind ?? null };
  return onKnown('mend.in', subject, [...targetsOf(rig).keys()], step);
}

function powerStep({ to, cut }: PowerFile, rig: Rig): StepOutcome {
  const step: Step =
    cut === undefined
      ? { kind: 'restorePower', to }
      : { kind: 'cutPower', to, cutMs: cut === 'stays' ? null : cut };
  return onKnown('power.to', to, suppliedOf(rig), step);
}

function callsOf(call: CallFile): Extract<Step, { kind: 'call' }>['calls'] {
  const written = Object.entries(call).filter(([, on]) => on !== undefined);
  return Object.fromEntries(written);
}
