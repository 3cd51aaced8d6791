import type { VNode } from 'preact';
import type { Entry } from '../order/urgency.ts';
import { DEFAULT_RANGE, formatRoute } from '../routes/route.ts';
import { holdWords } from '../words/holds.ts';
import { alarmStateWords, wettingWords } from '../words/vocabulary.ts';
import { CompartmentDrawing } from './compartment-drawing.tsx';
import { compartmentPicture } from './compartment-picture.ts';
import { Figures } from './figures.tsx';
import { Moment } from './moment.tsx';
import { NeedMark } from './need-mark.tsx';

/** One unit in the list: what is wrong in words, then the picture and a few numbers. */
export function UnitEntry(props: { readonly entry: Entry; readonly showSite: boolean }): VNode {
  const { unit, need, lead, alarms } = props.entry;
  const address = formatRoute({
    screen: 'unit',
    site: unit.site,
    unit: unit.unit,
    range: DEFAULT_RANGE,
  });
  return (
    <li class={`entry entry-${need}`}>
      <NeedMark need={need} acknowledged={lead?.acknowledged != null} />
      <div class="entry-words">
        <h3>
          <a class="entry-link" href={address}>
            {unit.name}
          </a>
          {props.showSite ? <span class="entry-site"> {unit.siteName}</span> : null}
        </h3>
        <Matter entry={props.entry} />
        {unit.hold === null ? null : (
          <p class="soft hold-word">
            {holdWords(unit.hold.kind)} until <Moment at={unit.hold.until} zone={unit.timezone} />
          </p>
        )}
        {alarms.length > 1 ? (
          <p class="soft">
            and {alarms.length - 1} more {alarms.length === 2 ? 'alarm' : 'alarms'}
          </p>
        ) : null}
      </div>
      <CompartmentDrawing picture={compartmentPicture(unit.condition, alarms)} />
      <Figures unit={unit} />
    </li>
  );
}

function Matter({ entry }: { readonly entry: Entry }): VNode | null {
  const { unit, lead } = entry;
  if (lead !== null) {
    return (
      <>
        <p class="headline">{lead.headline}</p>
        <p class="soft">
          since <Moment at={lead.raised} zone={unit.timezone} />; {alarmStateWords(lead.state)}
        </p>
      </>
    );
  }
  const wetting = unit.condition?.wetting ?? null;
  if (wetting === null) return null;
  return (
    <p class="soft">
      {wettingWords(wetting.source)} since <Moment at={wetting.since} zone={unit.timezone} />
    </p>
  );
}
