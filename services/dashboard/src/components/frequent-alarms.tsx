import type { VNode } from 'preact';
import type { AlarmFigure } from '../api/types.ts';
import { DEFAULT_RANGE, formatRoute } from '../routes/route.ts';
import { fleet, unitKey } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';
import { alarmPointOf } from '../words/figures.ts';
import { kindWords } from '../words/vocabulary.ts';

/** The ten kinds of alarm of a unit that were raised most: most of the work may lie in few. */
export function FrequentAlarms({ rows }: { readonly rows: readonly AlarmFigure[] }): VNode | null {
  const units = useStore(fleet, (state) => state.units);
  if (rows.length === 0) return null;
  return (
    <section class="group">
      <h2>Raised most often</h2>
      <ol class="frequent">
        {rows.map(({ figure, value }) => {
          const point = alarmPointOf(figure);
          if (point === null) return null;
          const { site, unit, kind } = point;
          const known = units.get(unitKey(site, unit));
          return (
            <li key={figure}>
              <span class="sum">{value}</span>
              <span>
                {kindWords(kind)}:{' '}
                <a href={formatRoute({ screen: 'unit', site, unit, range: DEFAULT_RANGE })}>
                  {known?.name ?? unit}
                </a>
                <span class="entry-site"> {known?.siteName ?? site}</span>
              </span>
            </li>
          );
        })}
      </ol>
    </section>
  );
}
