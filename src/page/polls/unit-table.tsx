/** Each address that is asked on a line, in a row. */
import { codeText } from '../../text/words.ts';
import { Table } from '../parts/table.tsx';
import { P } from '../texts/index.ts';
import type { PolledLine, PolledUnit } from './types.ts';

export function UnitTable({ line }: { readonly line: PolledLine }) {
  if (line.units.length === 0) return null;
  return (
    <Table name={P.units(line.id)} columns={P.columns}>
      {line.units.map((unit) => (
        <Row key={unit.unitId} unit={unit} />
      ))}
    </Table>
  );
}

function Row({ unit }: { readonly unit: PolledUnit }) {
  const { interval, longestGapMs, askWithinMs } = unit;
  return (
    <tr>
      <th scope="row">{unit.unitId}</th>
      <td>{unit.who.length === 0 ? P.notPlanned : unit.who.join(', ')}</td>
      <td class="figure">{unit.requests}</td>
      <td class="figure">{interval === null ? P.notKnown : P.every(interval.meanMs, interval.jitterMs)}</td>
      <td class="figure">{longestGapMs === null ? P.notKnown : P.gap(longestGapMs, askWithinMs)}</td>
      <td>
        <Lines texts={whatOf(unit)} />
      </td>
      <td>
        <Lines texts={answersOf(unit)} />
      </td>
    </tr>
  );
}

function Lines({ texts }: { readonly texts: readonly string[] }) {
  return (
    <ul>
      {texts.map((text) => (
        <li key={text}>{text}</li>
      ))}
    </ul>
  );
}

/** A controller asks for a handful of ranges; more than these would only fill the table. */
const RANGES_SHOWN = 6;

function whatOf({ ranges, otherRanges }: PolledUnit): readonly string[] {
  const rest = ranges.slice(RANGES_SHOWN).reduce((sum, { requests }) => sum + requests, otherRanges);
  const shown = ranges
    .slice(0, RANGES_SHOWN)
    .map(({ functionCode, way, address, quantity }) =>
      P.range(codeText(functionCode), P.ways[way], address, address + Math.max(1, quantity) - 1),
    );
  if (shown.length === 0) return [P.noAddress];
  return rest === 0 ? shown : [...shown, P.moreRanges(rest)];
}

function answersOf({ answered, unanswered, exceptions, outrun }: PolledUnit): readonly string[] {
  const notWaitedFor = outrun.askedAgain + outrun.overtaken;
  const heard = answered === 0 ? P.none : P.all;
  return [
    unanswered === 0 ? heard : P.unanswered(unanswered, answered + unanswered),
    ...exceptions.map(({ code, name, answers }) => P.exception(codeText(code), name, answers)),
    ...(notWaitedFor === 0 ? [] : [P.outrun(notWaitedFor)]),
  ];
}
