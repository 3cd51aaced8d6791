import { presenceTopic, telemetryTopic } from '@lineside/readings';
import type { Identity } from './identity.ts';

/** What a publish is, given who sent it. Everything not a sender's own is `not-allowed`. */
export type PublishKind = 'telemetry' | 'presence' | 'not-allowed';

/** A node may publish its own unit's telemetry and presence; a token may publish nothing. */
export function publishKind(identity: Identity | null, topic: string): PublishKind {
  if (identity === null || identity.kind !== 'node') {
    return 'not-allowed';
  }
  if (topic === telemetryTopic(identity.site, identity.unit)) {
    return 'telemetry';
  }
  return topic === presenceTopic(identity.site, identity.unit) ? 'presence' : 'not-allowed';
}

/** A token may subscribe filters within `lineside/+/+/alarm/+`; a node may subscribe none. */
export function maySubscribe(identity: Identity | null, filter: string): boolean {
  if (identity === null || identity.kind !== 'token') {
    return false;
  }
  const levels = filter.split('/');
  return (
    levels.length === 5 &&
    levels[0] === 'lineside' &&
    levels[3] === 'alarm' &&
    // `#` stands for its parent level as well, which is outside.
    !levels.includes('#') &&
    levels.every((level) => level !== '')
  );
}

/** A viewer gets the topics of its own sites only, whatever its filter says. */
export function mayReceive(identity: Identity | null, topic: string): boolean {
  if (identity === null || identity.kind !== 'token' || !topic.startsWith('lineside/')) {
    return false;
  }
  const { role, sites } = identity.token;
  if (role !== 'viewer') {
    return true;
  }
  const site = topic.split('/')[1] ?? '';
  return (sites ?? []).includes(site);
}
