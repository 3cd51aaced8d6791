import type { VNode } from 'preact';
import { DEFAULT_RANGE, formatRoute } from '../routes/route.ts';
import { announcement, dismissAnnouncement } from '../state/announcement.ts';
import { fleet, unitKey } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';
import { clockTime } from '../words/times.ts';
import { PRIORITY_WORDS } from '../words/vocabulary.ts';

/** The newest alarm since the page was opened, seen and spoken. Always present, mostly empty. */
export function AnnouncementLine(): VNode {
  const heard = useStore(announcement);
  const units = useStore(fleet, ({ units }) => units);
  return (
    <div class="announcement" aria-live="assertive" aria-atomic="true">
      {heard === null ? null : (
        <p>
          <span>
            <strong>New: {PRIORITY_WORDS[heard.alarm.priority].toLowerCase()}</strong> at{' '}
            {clockTime(heard.heardAtMs, Intl.DateTimeFormat().resolvedOptions().timeZone)},{' '}
            <a
              href={formatRoute({
                screen: 'unit',
                site: heard.alarm.site,
                unit: heard.alarm.unit,
                range: DEFAULT_RANGE,
              })}
            >
              {units.get(unitKey(heard.alarm.site, heard.alarm.unit))?.name ?? heard.alarm.unit}
            </a>
            : {heard.alarm.headline}
          </span>
          <button type="button" class="button button-small" onClick={dismissAnnouncement}>
            Seen
          </button>
        </p>
      )}
    </div>
  );
}
