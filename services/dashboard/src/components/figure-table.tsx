import type { VNode } from 'preact';
import type { AlarmFigure } from '../api/types.ts';
import { comparison, figureValue, targetWords } from '../words/figures.ts';

/** Figures with what is published for them beside, and in words how the two compare. */
export function FigureTable(props: {
  readonly heading: string;
  readonly rows: readonly AlarmFigure[];
}): VNode {
  const { heading, rows } = props;
  return (
    <section class="group">
      <h2>{heading}</h2>
      <table class="sums">
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col">Measured</th>
            <th scope="col">Published target, and whether it is met</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.figure}>
              <th scope="row">{row.figure}</th>
              <td class="sum">{figureValue(row.value, row.unit)}</td>
              <td>
                {row.target === null ? null : `${targetWords(row.target, row.unit)}: `}
                <Compared row={row} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Sources rows={rows} />
    </section>
  );
}

export function Compared({ row }: { readonly row: AlarmFigure }): VNode | null {
  if (row.target === null || row.value === null) return null;
  const { words, isMet } = comparison(row.value, row.target);
  return isMet ? (
    <span class="compared">{words}</span>
  ) : (
    <strong class="compared missed">{words}</strong>
  );
}

/** Where each target is published, and what of it is from memory. */
export function Sources({ rows }: { readonly rows: readonly AlarmFigure[] }): VNode | null {
  const sourced = rows.flatMap(({ figure, target }) =>
    target === null ? [] : [{ figure, source: target.source }],
  );
  if (sourced.length === 0) return null;
  return (
    <details class="reasons">
      <summary>Where these targets are published</summary>
      <ul class="findings">
        {sourced.map(({ figure, source }) => (
          <li key={figure}>
            {figure}: {source}
          </li>
        ))}
      </ul>
    </details>
  );
}
