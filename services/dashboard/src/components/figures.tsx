import type { ComponentChildren, VNode } from 'preact';
import type { Unit } from '../api/types.ts';
import { milliamps, quantity } from '../words/quantities.ts';
import { operatingWords } from '../words/vocabulary.ts';
import { Ago } from './moment.tsx';

const UNKNOWN = 'not known';

function Figure(props: { readonly name: string; readonly children: ComponentChildren }): VNode {
  return (
    <div class="figure">
      <dt>{props.name}</dt>
      <dd>{props.children}</dd>
    </div>
  );
}

/** The few numbers that a list has room for. */
export function Figures({ unit }: { readonly unit: Unit }): VNode {
  const { condition, lastReading, presence, timezone } = unit;
  const leakage = condition?.leakageMilliamps ?? null;
  const margin = condition?.dewPointMarginKelvin ?? null;
  const inferred = condition?.marginInferred === true ? ' inferred' : '';
  return (
    <dl class="figures">
      <Figure name="leakage">{leakage === null ? UNKNOWN : milliamps(leakage)}</Figure>
      <Figure name="dew-point margin">
        {margin === null ? UNKNOWN : `${quantity(margin, 'K', 1)}${inferred}`}
      </Figure>
      <Figure name="unit">
        {condition === null ? UNKNOWN : operatingWords(condition.operatingState)}
      </Figure>
      <Figure name="read">
        {lastReading === null ? 'never' : <Ago at={lastReading.time} zone={timezone} />}
      </Figure>
      <Figure name="node">{presence ?? UNKNOWN}</Figure>
    </dl>
  );
}
