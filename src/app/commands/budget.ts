/** `budget [RIG]`: whether a rig's lines are fast enough, worked out beforehand; exit code 1 where not. */
import { adviceFor, budgetOf } from '../../budget/index.ts';
import { budgetHtml } from '../budget/html.ts';
import { budgetJson } from '../budget/json.ts';
import { budgetText } from '../budget/text.ts';
import { durationOption } from '../duration-option.ts';
import { save, terminal } from '../output.ts';
import { rigOrStop } from '../rig-option.ts';
import { EXIT } from '../stop.ts';

export interface BudgetOptions {
  readonly silent: number;
  readonly network: string;
  readonly refresh: string;
  readonly json?: true;
  readonly html?: string;
}

export async function budget(rigFile: string | undefined, options: BudgetOptions): Promise<void> {
  const assumptions = {
    silent: options.silent,
    networkMs: durationOption('--network', options.network, 'zero'),
    refreshMs: durationOption('--refresh', options.refresh, 'zero'),
  };
  const { rig } = rigOrStop(rigFile);
  const worked = budgetOf(rig, assumptions);
  const result = { rig, budget: worked, advice: adviceFor(rig, worked) };
  if (options.html !== undefined) save(options.html, await budgetHtml(result));
  process.stdout.write(options.json === true ? budgetJson(result) : budgetText(result, terminal()));
  if (!worked.fits) process.exitCode = EXIT.broken;
}
