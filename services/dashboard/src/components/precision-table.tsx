import type { VNode } from 'preact';
import type { Precision } from '../api/types.ts';
import { fleet, siteNames } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';
import { precisionWords } from '../words/figures.ts';
import { kindWords } from '../words/vocabulary.ts';

/** How many alarms of each kind or site were true, as far as somebody said so. */
export function PrecisionTable({ precision }: { readonly precision: Precision }): VNode {
  const names = useStore(fleet, siteNames);
  const nameOf = (name: string | null): string => {
    if (name === null) return 'all together';
    return precision.by === 'kind' ? kindWords(name) : (names.get(name) ?? name);
  };
  return (
    <table class="sums">
      <thead>
        <tr>
          <th scope="col">{precision.by === 'kind' ? 'By kind' : 'By site'}</th>
          <th scope="col">True</th>
          <th scope="col">False</th>
          <th scope="col">Unclear</th>
          <th scope="col">Nobody said</th>
          <th scope="col">Share of true</th>
        </tr>
      </thead>
      <tbody>
        {precision.items.map((row) => (
          <tr key={row.name ?? ''}>
            <th scope="row">{nameOf(row.name)}</th>
            <td class="sum">{row.true}</td>
            <td class="sum">{row.false}</td>
            <td class="sum">{row.unclear}</td>
            <td class="sum">{row.withoutVerdict}</td>
            <td>{precisionWords(row)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
