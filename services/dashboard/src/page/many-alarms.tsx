import type { VNode } from 'preact';
import { kindWords, PRIORITY_WORDS } from '../words/vocabulary.ts';
import { answersFor, isUnanswered, mayPutAside } from './alarm-answers.ts';
import { AlarmHead } from './alarm-head.tsx';
import { type Answer, AnswerButtons, type SendPress } from './answer-buttons.tsx';
import { Cautions, LookYourself } from './cautions.tsx';
import { FoldedDetail } from './folded-detail.tsx';
import { ALL } from './page-calls.ts';
import type { Page, PageAlarm, PageSite } from './page-types.ts';
import { DANGER_WORDS } from './page-words.ts';

interface Parts {
  readonly page: Page;
  readonly nowMs: number;
  readonly sendFor: (alarm: string) => SendPress;
}

/** A page about several alarms: the worst three, where to go first, then all the others. */
export function ManyAlarms({ page, nowMs, sendFor }: Parts): VNode {
  const inFull = new Set(page.details.map(({ id }) => id));
  const worst = page.alarms.filter(({ id }) => inFull.has(id));
  const others = page.alarms.filter(({ id }) => !inFull.has(id));
  const isMine = page.buttons !== 'another-device';
  const hasDanger = page.sites.some(({ roofDanger }) => roofDanger !== null);
  const [first] = page.sites;
  return (
    <>
      <Summary page={page} />
      {isMine && (
        <AnswerButtons
          answers={answersForAll(page)}
          about="the whole page"
          mayPutAside={false}
          zone={first?.timezone ?? 'UTC'}
          send={sendFor(ALL)}
        />
      )}
      {!hasDanger && <LookYourself />}
      <Visit sites={page.sites} />
      {worst.map((alarm) => (
        <Worst key={alarm.id} {...{ page, alarm, nowMs, sendFor, isMine }} />
      ))}
      {others.length > 0 && (
        <section class="others">
          <h2>The others</h2>
          {others.map((alarm) => (
            <Other key={alarm.id} {...{ page, alarm, nowMs, sendFor, isMine }} />
          ))}
          {page.more > 0 && <p>And {page.more} more: they are on the dashboard.</p>}
        </section>
      )}
      <Cautions heading="h2" />
    </>
  );
}

function answersForAll({ alarms }: Page): readonly Answer[] {
  const waiting = alarms.filter(isUnanswered).length;
  if (waiting === 0) return [];
  const words = waiting === 1 ? 'Acknowledge the one left' : `Acknowledge all ${waiting}`;
  return [{ action: 'acknowledge', words }];
}

function Summary({ page }: { readonly page: Page }): VNode {
  const standing = page.alarms.filter((alarm) => alarm.standing);
  const waiting = page.alarms.filter(isUnanswered).length;
  const count = page.alarms.length + page.more;
  const priority = standing[0]?.priority;
  const sites =
    page.sites.length === 1 ? (page.sites[0]?.name ?? '') : `${page.sites.length} sites`;
  return (
    <header class="alarm-head">
      <p class={`urgency ${priority ?? 'over'}`}>
        {priority === undefined ? 'All over' : PRIORITY_WORDS[priority]}
      </p>
      <h1>
        {count} alarms
        <span class="site">{sites}</span>
      </h1>
      <p class="answered">
        {waiting === 0 ? 'All are answered.' : `${waiting} wait for an answer.`}
        {standing.length < page.alarms.length &&
          ` ${page.alarms.length - standing.length} are over.`}
      </p>
    </header>
  );
}

function Visit({ sites }: { readonly sites: readonly PageSite[] }): VNode | null {
  const open = sites.filter(({ standing }) => standing > 0);
  if (open.length < 2) return null;
  return (
    <section>
      <h2>Where to go first</h2>
      <ol>
        {open.map(({ site, name, standing, roofDanger }) => (
          <li key={site}>
            {name}: {standing === 1 ? '1 alarm' : `${standing} alarms`}
            {roofDanger !== null && (
              <strong>, {DANGER_WORDS[roofDanger].toLowerCase()}: stay off the roof</strong>
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}

interface AlarmParts extends Parts {
  readonly alarm: PageAlarm;
  readonly isMine: boolean;
}

function Worst({ page, alarm, nowMs, sendFor, isMine }: AlarmParts): VNode {
  const site = page.sites.find((one) => one.site === alarm.site);
  const detail = page.details.find(({ id }) => id === alarm.id);
  return (
    <article>
      <AlarmHead alarm={alarm} detail={detail} site={site} heading="h2" nowMs={nowMs} />
      {isMine && <Buttons {...{ page, alarm, nowMs, sendFor, isMine }} />}
      <FoldedDetail alarm={alarm} detail={detail} zone={site?.timezone ?? 'UTC'} nowMs={nowMs} />
    </article>
  );
}

function Buttons({ page, alarm, sendFor }: AlarmParts): VNode {
  const site = page.sites.find((one) => one.site === alarm.site);
  const detail = page.details.find(({ id }) => id === alarm.id);
  return (
    <AnswerButtons
      answers={answersFor(alarm, detail, site !== undefined && site.roofDanger !== null)}
      about={`${alarm.unitName}, ${kindWords(alarm.kind)}`}
      mayPutAside={mayPutAside(alarm)}
      zone={site?.timezone ?? 'UTC'}
      send={sendFor(alarm.id)}
    />
  );
}

function Other(parts: AlarmParts): VNode {
  const { page, alarm, nowMs, isMine } = parts;
  const site = page.sites.find((one) => one.site === alarm.site);
  const what = alarm.standing ? PRIORITY_WORDS[alarm.priority] : 'Over';
  return (
    <details class="other">
      <summary>
        <strong>{what}</strong> {alarm.unitName}, {site?.name ?? alarm.site}
        <span class="soft">{alarm.headline}</span>
        <span class="soft">{isUnanswered(alarm) ? 'not answered' : 'answered'}</span>
      </summary>
      {isMine && <Buttons {...parts} />}
      <FoldedDetail alarm={alarm} detail={undefined} zone={site?.timezone ?? 'UTC'} nowMs={nowMs} />
    </details>
  );
}
