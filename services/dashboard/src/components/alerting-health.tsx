import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { readAlerting } from '../api/on-call-client.ts';
import type { Alerting } from '../api/types.ts';
import { channelWords } from '../words/channels.ts';
import { OWN_ZONE } from '../words/times.ts';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { useRequest } from './use-request.ts';

const READ_EVERY_MS = 30_000;

/** Whether readings come in and pages go out. */
export function AlertingHealth(): VNode {
  const [health, setHealth] = useState<Alerting | null>(null);
  const { failure, run } = useRequest();
  const read = (): void => run(async () => setHealth(await readAlerting()));
  useEffect(() => {
    read();
    const again = setInterval(read, READ_EVERY_MS);
    return () => clearInterval(again);
  }, []);
  return (
    <section class="group">
      <h2>Whether pages get through</h2>
      {failure === null ? null : <FailureNote failure={failure} onRetry={read} />}
      {health === null ? null : <Ledger health={health} />}
    </section>
  );
}

function Ledger({ health }: { readonly health: Alerting }): VNode {
  const { handedOver, waiting, failure, lastReading } = health;
  return (
    <dl class="ledger">
      <div>
        <dt>Last reading</dt>
        <dd>{lastReading === null ? 'none yet' : <Moment at={lastReading} zone={OWN_ZONE} />}</dd>
      </div>
      {handedOver.length === 0 ? (
        <div>
          <dt>Last page delivered</dt>
          <dd>none yet</dd>
        </div>
      ) : null}
      {handedOver.map(({ channel, at }) => (
        <div key={channel}>
          <dt>Last page delivered by {channelWords(channel)}</dt>
          <dd>
            <Moment at={at} zone={OWN_ZONE} />
          </dd>
        </div>
      ))}
      <div>
        <dt>Pages that wait</dt>
        <dd>
          {waiting.isMore ? `${waiting.messages} or more` : waiting.messages}
          {waiting.oldest === null ? null : (
            <>
              , the oldest since <Moment at={waiting.oldest} zone={OWN_ZONE} />
            </>
          )}
        </dd>
      </div>
      {failure === null ? null : (
        <div>
          <dt>
            {failure.givenUp ? 'Given up' : 'Tried again'} ({channelWords(failure.channel)})
          </dt>
          <dd>
            <Moment at={failure.at} zone={OWN_ZONE} />: {failure.reason}
          </dd>
        </div>
      )}
    </dl>
  );
}
