/** The shape that stands beside the mitigation's state. */
import type { Supervisor } from '../types.ts';
import type { MarkKind } from './mark.tsx';

/** Red is for gas and fire, yellow for trouble, blue for what a person must do (IEC 60073). */
export function markOfPhase(supervisor: Supervisor): MarkKind {
  const { alarm } = supervisor.commands;
  switch (supervisor.state) {
    case 'running':
      return 'good';
    case 'starting':
    case 'holding':
      return 'wait';
    case 'lockedOut':
      return 'locked';
    case 'fire':
      return 'alarm';
    case 'mitigating':
      return alarm?.on === true ? 'alarm' : 'warning';
    default:
      return supervisor.state satisfies never;
  }
}
