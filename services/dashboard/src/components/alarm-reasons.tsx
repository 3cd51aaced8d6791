import type { VNode } from 'preact';
import type { Alarm, CauseEstimate, Unit } from '../api/types.ts';
import { useNow } from '../state/clock.ts';
import { whatToBring } from '../words/bring.ts';
import { evidenceLine } from '../words/evidence.ts';
import { causeWords, likelihood } from '../words/vocabulary.ts';

type Heading = 'h3' | 'h4';

/** Why the alarm was raised, what it probably is, and what to carry up. */
export function AlarmReasons(props: {
  readonly alarm: Alarm;
  readonly unit: Unit;
  readonly open: boolean;
  readonly heading: Heading;
}): VNode {
  const { alarm, unit, heading } = props;
  const [first] = alarm.causes;
  return (
    <details class="reasons" open={props.open}>
      <summary>
        {first === undefined
          ? 'Numbers and what to bring'
          : `Probably: ${causeWords(first.cause).toLowerCase()} (${likelihood(first.probability)})`}
      </summary>
      <div class="reasons-body">
        <Causes causes={alarm.causes} heading={heading} />
        <Evidence alarm={alarm} zone={unit.timezone} heading={heading} />
        <Bring alarm={alarm} unit={unit} heading={heading} />
      </div>
    </details>
  );
}

function Causes(props: {
  readonly causes: readonly CauseEstimate[];
  readonly heading: Heading;
}): VNode | null {
  const { causes, heading: Title } = props;
  if (causes.length === 0) return null;
  return (
    <section>
      <Title class="minor">What it may be</Title>
      <ol class="causes">
        {causes.map(({ cause, probability, because }) => (
          <li key={cause}>
            {causeWords(cause)}, {likelihood(probability)}
            {because.length === 0 ? null : (
              <ul>
                {because.map((reason) => (
                  <li key={reason}>{reason}</li>
                ))}
              </ul>
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Evidence(props: {
  readonly alarm: Alarm;
  readonly zone: string;
  readonly heading: Heading;
}): VNode | null {
  const { alarm, zone, heading: Title } = props;
  const nowMs = useNow();
  const lines = Object.entries(alarm.evidence).map(([name, value]) =>
    evidenceLine(name, value, zone, nowMs),
  );
  if (lines.length === 0) return null;
  return (
    <section>
      <Title class="minor">Measured</Title>
      <dl class="ledger">
        {lines.map(({ label, value }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function Bring(props: {
  readonly alarm: Alarm;
  readonly unit: Unit;
  readonly heading: Heading;
}): VNode | null {
  const { alarm, unit, heading: Title } = props;
  const things = whatToBring(alarm.causes, unit.nameplate);
  if (things.length === 0) return null;
  return (
    <section>
      <Title class="minor">Bring</Title>
      <ul>
        {things.map((thing) => (
          <li key={thing}>{thing}</li>
        ))}
      </ul>
    </section>
  );
}
