import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { AlarmDetail } from './alarm-detail.tsx';
import { PageFailure, readDetail } from './page-calls.ts';
import type { PageAlarm, PageAlarmDetail } from './page-types.ts';

/** The detail of one alarm among several; asked for each time it is opened, where the page does not have it. */
export function FoldedDetail(props: {
  readonly alarm: PageAlarm;
  readonly detail: PageAlarmDetail | undefined;
  readonly zone: string;
  readonly nowMs: number;
}): VNode {
  const { alarm, detail, zone, nowMs } = props;
  const [isOpen, setOpen] = useState(false);
  const [asked, setAsked] = useState<PageAlarmDetail | undefined>(undefined);
  const [fault, setFault] = useState('');
  const shown = detail ?? asked;
  const open = (event: { readonly currentTarget: HTMLDetailsElement }): void => {
    setOpen(event.currentTarget.open);
    if (!event.currentTarget.open || detail !== undefined) return;
    setFault('');
    readDetail(alarm.id).then(setAsked, (error: unknown) => {
      const words = error instanceof PageFailure ? error.message : String(error);
      setFault(`It did not come: ${words} Close and open it again.`);
    });
  };
  return (
    <details class="folded" onToggle={open}>
      <summary class="press">Readings, cause, what to bring, way there</summary>
      {fault !== '' && <p role="alert">{fault}</p>}
      {isOpen && shown === undefined && fault === '' && <p class="soft">Reading …</p>}
      {isOpen && shown !== undefined && (
        <AlarmDetail alarm={alarm} detail={shown} zone={zone} nowMs={nowMs} heading="h3" />
      )}
    </details>
  );
}
