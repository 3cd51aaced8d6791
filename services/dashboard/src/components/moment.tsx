import type { VNode } from 'preact';
import { useNow } from '../state/clock.ts';
import { dayAndTime, relativeTime, zoneName } from '../words/times.ts';

/** A time both ways: `14 Jan 04:12 AST, 3 h ago`. */
export function Moment(props: { readonly at: string | number; readonly zone: string }): VNode {
  const nowMs = useNow();
  const atMs = typeof props.at === 'number' ? props.at : Date.parse(props.at);
  return (
    <time dateTime={new Date(atMs).toISOString()}>
      {dayAndTime(atMs, props.zone, nowMs)} {zoneName(atMs, props.zone)},{' '}
      {relativeTime(atMs, nowMs)}
    </time>
  );
}

/** Only how long ago; the full time is in the title. */
export function Ago(props: { readonly at: string; readonly zone: string }): VNode {
  const nowMs = useNow();
  const atMs = Date.parse(props.at);
  const full = `${dayAndTime(atMs, props.zone, nowMs)} ${zoneName(atMs, props.zone)}`;
  return (
    <time dateTime={props.at} title={full}>
      {relativeTime(atMs, nowMs)}
    </time>
  );
}
