import type { VNode } from 'preact';
import type { Condition } from '../api/types.ts';
import { milliamps, quantity } from '../words/quantities.ts';
import { LedgerLine } from './condition-ledger.tsx';
import { Moment } from './moment.tsx';

type Outlook = NonNullable<Condition['leakageOutlook']>;
type Estimate = NonNullable<Outlook['dryDay']>;
type Growth = NonNullable<Outlook['dryGrowth']>;

const NO_VALUE = 'not known yet';

function estimateWords(estimate: Estimate | null): string {
  if (estimate === null) return NO_VALUE;
  const { lowerMilliamps, upperMilliamps } = estimate;
  const range = `${milliamps(lowerMilliamps)} to ${milliamps(upperMilliamps)}`;
  const basis = estimate.extrapolated ? ', not seen yet: from its own slope' : '';
  return `${milliamps(estimate.milliamps)} (${range}${basis})`;
}

function growthWords(growth: Growth | null): string {
  if (growth === null) return 'known after three weeks';
  const { lowerMilliampsPerWeek: lower, upperMilliampsPerWeek: upper, weeks } = growth;
  const range =
    lower === null || upper === null ? '' : `${milliamps(lower)} to ${milliamps(upper)}, `;
  return `${milliamps(growth.milliampsPerWeek)} a week (${range}${weeks} weeks)`;
}

function daysWords({ days, soonestDays, latestDays }: NonNullable<Outlook['timeToLimit']>): string {
  const day = (count: number): string => quantity(count, 'days', 0);
  const soonest = soonestDays === null ? '' : `from ${day(soonestDays)} `;
  const latest = latestDays === null ? 'perhaps never' : `to ${day(latestDays)}`;
  return `${day(days)} (${soonest}${latest})`;
}

function RepairLines(props: {
  readonly repair: NonNullable<Outlook['repair']>;
  readonly zone: string;
}): VNode {
  const { repaired, dryBeforeMilliamps, wetBeforeMilliamps, matched, testedByWeather } =
    props.repair;
  const words = (value: number | null): string => (value === null ? NO_VALUE : milliamps(value));
  return (
    <>
      <LedgerLine name="Before the repair">
        dry {words(dryBeforeMilliamps)}, wet {words(wetBeforeMilliamps)}; repaired{' '}
        <Moment at={repaired} zone={props.zone} />
      </LedgerLine>
      {matched === null ? null : (
        <LedgerLine name={`Since the repair, at ${matched.humidityPercent} %RH`}>
          {milliamps(matched.afterMilliamps)}, before it {milliamps(matched.beforeMilliamps)}
        </LedgerLine>
      )}
      <LedgerLine name="Repair">
        {testedByWeather ? 'tested by wet weather since' : 'not yet tested by weather'}
      </LedgerLine>
    </>
  );
}

const SIDES: Readonly<Record<NonNullable<Outlook['side']>, string>> = {
  line: 'line side: it leaks at rest as well',
  load: 'load side: it leaks only while running',
  undetermined: 'undetermined: rest and running were not seen equally wet',
};

function seenWords({ seenFromPercent, seenToPercent, missingBands }: Outlook): string {
  const seen = `${seenFromPercent} to ${quantity(seenToPercent, '%RH', 0)}`;
  if (missingBands.length === 0) return seen;
  const bands = missingBands.map(({ fromPercent, toPercent }) => `${fromPercent} to ${toPercent}`);
  return `${seen}; still learning ${bands.join(', ')} %RH`;
}

/** What the unit's own response to humidity says of wet days to come. */
export function OutlookLedger(props: {
  readonly condition: Condition;
  readonly zone: string;
}): VNode {
  const { leakageOutlook: outlook } = props.condition;
  if (outlook === null) return <p class="soft">Nothing is known of its wet days yet.</p>;
  return (
    <dl class="ledger">
      <LedgerLine name="Dry day, 50 %RH">{estimateWords(outlook.dryDay)}</LedgerLine>
      <LedgerLine name="Wet day, 95 %RH">{estimateWords(outlook.wetDay)}</LedgerLine>
      <LedgerLine name="Growth, dry">{growthWords(outlook.dryGrowth)}</LedgerLine>
      <LedgerLine name="Growth, wet">{growthWords(outlook.wetGrowth)}</LedgerLine>
      {outlook.timeToLimit === null ? null : (
        <LedgerLine name="Wet days reach the emergency limit in">
          {daysWords(outlook.timeToLimit)}
        </LedgerLine>
      )}
      {outlook.side === null ? null : <LedgerLine name="Where">{SIDES[outlook.side]}</LedgerLine>}
      {outlook.repair === null ? null : <RepairLines repair={outlook.repair} zone={props.zone} />}
      <LedgerLine name="Film humidity seen">{seenWords(outlook)}</LedgerLine>
      {outlook.basis === 'rest' ? null : (
        <LedgerLine name="Rest">
          not seen: the sensor's error under load is in these figures
        </LedgerLine>
      )}
    </dl>
  );
}
