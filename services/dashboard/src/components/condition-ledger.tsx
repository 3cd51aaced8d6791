import type { ComponentChildren, VNode } from 'preact';
import type { Condition, Unit } from '../api/types.ts';
import { milliamps, quantity } from '../words/quantities.ts';
import { operatingWords, wettingWords } from '../words/vocabulary.ts';
import { Moment } from './moment.tsx';

/** One line of a ledger; null says that it is not known. */
export function LedgerLine(props: {
  readonly name: string;
  readonly children: ComponentChildren;
}): VNode {
  return (
    <div>
      <dt>{props.name}</dt>
      <dd>{props.children ?? 'not known'}</dd>
    </div>
  );
}

const measured = (value: number | null, unit: string, decimals: number): string | null =>
  value === null ? null : quantity(value, unit, decimals);

function marginWords({ dewPointMarginKelvin, marginInferred }: Condition): string | null {
  if (dewPointMarginKelvin === null) return null;
  const from = marginInferred ? ', inferred from the air: no sensor on the back-plate' : '';
  return `${quantity(dewPointMarginKelvin, 'K', 1)}${from}`;
}

/** The unit's condition in full, each number with its unit. */
export function ConditionLedger({ unit }: { readonly unit: Unit }): VNode {
  const { condition, lastReading, presence, timezone } = unit;
  return (
    <>
      <dl class="ledger">
        <LedgerLine name="Last reading">
          {lastReading === null ? 'never' : <Moment at={lastReading.time} zone={timezone} />}
        </LedgerLine>
        <LedgerLine name="Node">{presence}</LedgerLine>
        {condition === null ? null : <Judged condition={condition} zone={timezone} />}
      </dl>
      {condition?.learningBaseline === true ? (
        <p class="soft">
          The unit’s own leakage is not learned yet: until then only the absolute limits apply.
        </p>
      ) : null}
    </>
  );
}

/** For what is measured at times only: no line when there is nothing. */
function IfMeasured(props: {
  readonly name: string;
  readonly value: number | null;
  readonly unit: string;
  readonly decimals: number;
}): VNode | null {
  if (props.value === null) return null;
  return (
    <LedgerLine name={props.name}>{quantity(props.value, props.unit, props.decimals)}</LedgerLine>
  );
}

function Judged(props: { readonly condition: Condition; readonly zone: string }): VNode {
  const { condition, zone } = props;
  const { leakageMilliamps, wetting } = condition;
  return (
    <>
      <LedgerLine name="Unit">{operatingWords(condition.operatingState)}</LedgerLine>
      <LedgerLine name="Leakage to ground">
        {leakageMilliamps === null ? null : milliamps(leakageMilliamps)}
      </LedgerLine>
      <LedgerLine name="Dew-point margin">{marginWords(condition)}</LedgerLine>
      <LedgerLine name="Humidity inside">
        {measured(condition.relativeHumidityPercent, '%RH', 0)}
      </LedgerLine>
      <IfMeasured
        name="Vapour pressure, inside above outside"
        value={condition.vapourPressureExcessPascals}
        unit="Pa"
        decimals={0}
      />
      <IfMeasured
        name="Current unbalance"
        value={condition.currentUnbalancePercent}
        unit="%"
        decimals={1}
      />
      <IfMeasured
        name="Voltage unbalance"
        value={condition.voltageUnbalancePercent}
        unit="%"
        decimals={1}
      />
      <LedgerLine name="Wetting now">
        {wetting === null ? (
          'none'
        ) : (
          <>
            {wettingWords(wetting.source)}, since <Moment at={wetting.since} zone={zone} />
          </>
        )}
      </LedgerLine>
      <LedgerLine name="Wet within 30 days">
        {quantity(condition.wetHours30Days, 'h', 0)}
      </LedgerLine>
    </>
  );
}
