import type { VNode } from 'preact';
import type { Alarm, CauseEstimate, Unit } from '../api/types.ts';
import { useNow } from '../state/clock.ts';
import { evidenceLine } from '../words/evidence.ts';
import { causeWords, likelihood } from '../words/vocabulary.ts';

type Heading = 'h3' | 'h4';

/** Why the alarm was raised, what it probably is, what to check there and to carry up. */
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
          ? 'Numbers, checks and what to bring'
          : `Probably: ${causeWords(first.cause).toLowerCase()} (${likelihood(first.probability)})`}
      </summary>
      <div class="reasons-body">
        <Causes causes={alarm.causes} heading={heading} />
        <Advice title="Check there" lines={alarm.checks} heading={heading} />
        <Advice title="Bring" lines={alarm.bring} heading={heading} />
        <Evidence alarm={alarm} zone={unit.timezone} heading={heading} />
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

/** The marks are what the reasons of the causes say in words. */
const TOLD_AS_REASONS: ReadonlySet<string> = new Set(['marks']);

function Evidence(props: {
  readonly alarm: Alarm;
  readonly zone: string;
  readonly heading: Heading;
}): VNode | null {
  const { alarm, zone, heading: Title } = props;
  const nowMs = useNow();
  const lines = Object.entries(alarm.evidence)
    .filter(([name]) => !TOLD_AS_REASONS.has(name))
    .map(([name, value]) => evidenceLine(name, value, zone, nowMs));
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

function Advice(props: {
  readonly title: string;
  readonly lines: readonly string[];
  readonly heading: Heading;
}): VNode | null {
  const { title, lines, heading: Title } = props;
  if (lines.length === 0) return null;
  return (
    <section>
      <Title class="minor">{title}</Title>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </section>
  );
}
