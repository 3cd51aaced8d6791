import type { VNode } from 'preact';
import { kindWords } from '../words/vocabulary.ts';
import { answersFor, mayPutAside } from './alarm-answers.ts';
import { AlarmDetail } from './alarm-detail.tsx';
import { AlarmHead } from './alarm-head.tsx';
import { AnswerButtons, type SendPress } from './answer-buttons.tsx';
import { Cautions, LookYourself } from './cautions.tsx';
import type { Page, PageAlarm } from './page-types.ts';

/** A page about one alarm: all of it, in the order in which somebody who was woken needs it. */
export function OneAlarm(props: {
  readonly page: Page;
  readonly alarm: PageAlarm;
  readonly nowMs: number;
  readonly send: SendPress;
}): VNode {
  const { page, alarm, nowMs, send } = props;
  const site = page.sites.find((one) => one.site === alarm.site);
  const detail = page.details.find(({ id }) => id === alarm.id);
  const zone = site?.timezone ?? 'UTC';
  const isDangerous = site !== undefined && site.roofDanger !== null;
  const isMine = page.buttons !== 'another-device';
  return (
    <>
      <AlarmHead alarm={alarm} detail={detail} site={site} heading="h1" nowMs={nowMs} />
      {isMine && (
        <AnswerButtons
          answers={answersFor(alarm, detail, isDangerous)}
          about={`${alarm.unitName}, ${kindWords(alarm.kind)}`}
          mayPutAside={mayPutAside(alarm)}
          zone={zone}
          send={send}
        />
      )}
      {!isDangerous && <LookYourself />}
      {detail !== undefined && (
        <AlarmDetail alarm={alarm} detail={detail} zone={zone} nowMs={nowMs} heading="h2" />
      )}
      <Cautions heading="h2" />
    </>
  );
}
