/** The topics that nodes, outdoor stations and readers of alarms use. */

/** Site and unit ids: 1 to 63 of `a-z`, `0-9`, `-`, not starting or ending with `-`. */
export const ID_PATTERN: RegExp = /^[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?$/;

/** Words for a message about an id that is none. */
export const ID_RULE = '1 to 63 of a-z, 0-9 and -, not starting or ending with -';

export type Topic =
  | { readonly type: 'telemetry'; readonly site: string; readonly unit: string }
  | { readonly type: 'presence'; readonly site: string; readonly unit: string }
  | {
      readonly type: 'alarm';
      readonly site: string;
      readonly unit: string;
      readonly kind: string;
    };

const ROOT = 'lineside';

/**
 * Reads a topic name; `null` when it is none of ours.
 *
 * @param topic a topic name as published, for example `lineside/harbour-mall/rtu-01/telemetry`.
 */
export function parseTopic(topic: string): Topic | null {
  const levels = topic.split('/', 6);
  const [root, site = '', unit = '', type, kind = ''] = levels;
  if (root !== ROOT || !ID_PATTERN.test(site) || !ID_PATTERN.test(unit)) return null;
  if (levels.length === 4 && (type === 'telemetry' || type === 'presence')) {
    return { type, site, unit };
  }
  if (levels.length === 5 && type === 'alarm' && ID_PATTERN.test(kind)) {
    return { type, site, unit, kind };
  }
  return null;
}

/** Topic of the SenML packs of a unit, or of an outdoor station with unit `weather`. */
export function telemetryTopic(site: string, unit: string): string {
  return `${ROOT}/${site}/${unit}/telemetry`;
}

/** Retained topic, and last will, that says whether a unit's node is online. */
export function presenceTopic(site: string, unit: string): string {
  return `${ROOT}/${site}/${unit}/presence`;
}

/** Retained topic of the newest alarm of one kind. */
export function alarmTopic(site: string, unit: string, kind: string): string {
  return `${ROOT}/${site}/${unit}/alarm/${kind}`;
}
