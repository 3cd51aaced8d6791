import type { VNode } from 'preact';
import { causeWords, likelihood } from '../words/vocabulary.ts';
import { ChartFigure } from './chart-figure.tsx';
import type { PageAlarm, PageAlarmDetail } from './page-types.ts';
import { journalWords } from './page-words.ts';

type Heading = 'h2' | 'h3';

/** What shows it, what it may be, what settles it, what to bring, how to get there, who did what. */
export function AlarmDetail(props: {
  readonly alarm: PageAlarm;
  readonly detail: PageAlarmDetail;
  readonly zone: string;
  readonly nowMs: number;
  readonly heading: Heading;
}): VNode {
  const { alarm, detail, zone, nowMs, heading: Title } = props;
  return (
    <>
      <section>
        <Title>The last seven days</Title>
        <ChartFigure alarm={alarm} zone={zone} />
      </section>
      <Causes detail={detail} heading={Title} />
      <Lines title="What settles it" lines={detail.checks} heading={Title} isOrdered />
      <Lines title="Bring" lines={detail.bring} heading={Title} />
      <section>
        <Title>How to get there</Title>
        <p>{detail.access ?? 'Not recorded: ask the office.'}</p>
        <p>{plateWords(detail)}</p>
      </section>
      <Journal detail={detail} zone={zone} nowMs={nowMs} heading={Title} />
    </>
  );
}

function plateWords({ fuses, volts }: PageAlarmDetail): string {
  const supply = volts === null ? 'Voltage not recorded' : `${volts} V`;
  const kind = fuses.class === null ? 'class not recorded' : `class ${fuses.class}`;
  const amps = fuses.amps === null ? 'rating not recorded' : `${fuses.amps} A`;
  return `By the nameplate: ${supply}; fuses ${kind}, ${amps}.`;
}

function Causes(props: {
  readonly detail: PageAlarmDetail;
  readonly heading: Heading;
}): VNode | null {
  const { detail, heading: Title } = props;
  if (detail.causes.length === 0) return null;
  return (
    <section>
      <Title>What it may be</Title>
      <ol>
        {detail.causes.map(({ cause, probability, because }) => (
          <li key={cause}>
            {causeWords(cause)}, {likelihood(probability)}
            {because.length > 0 && <span class="soft because">{because.join('; ')}</span>}
          </li>
        ))}
      </ol>
    </section>
  );
}

function Lines(props: {
  readonly title: string;
  readonly lines: readonly string[];
  readonly heading: Heading;
  readonly isOrdered?: boolean;
}): VNode | null {
  const { title, lines, heading: Title, isOrdered = false } = props;
  if (lines.length === 0) return null;
  const items = lines.map((line) => <li key={line}>{line}</li>);
  return (
    <section>
      <Title>{title}</Title>
      {isOrdered ? <ol>{items}</ol> : <ul>{items}</ul>}
    </section>
  );
}

function Journal(props: {
  readonly detail: PageAlarmDetail;
  readonly zone: string;
  readonly nowMs: number;
  readonly heading: Heading;
}): VNode {
  const { detail, zone, nowMs, heading: Title } = props;
  return (
    <section>
      <Title>What happened so far</Title>
      <dl class="journal">
        {detail.journal.map((line, index) => {
          const { when, what } = journalWords(line, zone, nowMs);
          return (
            <div key={`${line.time} ${index}`}>
              <dt>{when}</dt>
              <dd>{what}</dd>
            </div>
          );
        })}
      </dl>
    </section>
  );
}
