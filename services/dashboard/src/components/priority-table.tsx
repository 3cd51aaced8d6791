import type { VNode } from 'preact';
import type { AlarmFigure, Priority } from '../api/types.ts';
import { figureValue, targetWords } from '../words/figures.ts';
import { PRIORITY_WORDS } from '../words/vocabulary.ts';
import { Compared, Sources } from './figure-table.tsx';

const PRIORITIES: readonly Priority[] = ['emergency', 'urgent', 'routine'];

/** How alarms share out over the priorities, and how soon each is acknowledged. */
export function PriorityTable({ rows }: { readonly rows: readonly AlarmFigure[] }): VNode {
  const byName = new Map(rows.map((row) => [row.figure, row]));
  const value = (figure: string): string => {
    const row = byName.get(figure);
    return row === undefined ? '' : figureValue(row.value, row.unit);
  };
  return (
    <section class="group">
      <h2>How pressing, and how soon acknowledged</h2>
      <table class="sums">
        <thead>
          <tr>
            <th scope="col">Priority</th>
            <th scope="col">Alarms</th>
            <th scope="col">Share</th>
            <th scope="col">Acknowledged</th>
          </tr>
        </thead>
        <tbody>
          {PRIORITIES.map((priority) => (
            <tr key={priority}>
              <th scope="row">{PRIORITY_WORDS[priority]}</th>
              <td class="sum">{value(`${priority} alarms`)}</td>
              <td>
                <Share row={byName.get(`share of ${priority} alarms`)} />
              </td>
              <td>
                {value(`${priority} alarms acknowledged`)}
                <AcknowledgedWithin
                  half={byName.get(`${priority} time to acknowledge, median`)}
                  most={byName.get(`${priority} time to acknowledge, 90th percentile`)}
                />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Sources rows={rows} />
    </section>
  );
}

/** `12.0 %; published about 15 %: is about that`. */
function Share({ row }: { readonly row: AlarmFigure | undefined }): VNode | null {
  if (row === undefined) return null;
  return (
    <>
      {figureValue(row.value, row.unit)}
      {row.target === null ? null : (
        <span class="soft">
          ; published {targetWords(row.target, row.unit)}: <Compared row={row} />
        </span>
      )}
    </>
  );
}

/** `, half within 12 min, nine of ten within 2 h`; nothing where none was acknowledged. */
function AcknowledgedWithin(props: {
  readonly half: AlarmFigure | undefined;
  readonly most: AlarmFigure | undefined;
}): VNode | null {
  const { half, most } = props;
  if (half === undefined || half.value === null || most === undefined) return null;
  return (
    <span class="soft">
      , half within {figureValue(half.value, half.unit)}, nine of ten within{' '}
      {figureValue(most.value, most.unit)}
    </span>
  );
}
