import { type Alerting, createChannels, startAlerting } from '@lineside/alerting';
import type { Fleet } from '@lineside/fleet';
import type { HouseLine } from '../house/house-line.ts';
import { type StoodBy, standBy } from './bystander.ts';
import { applyOnCallFiles } from './on-call-files.ts';
import type { OpenedHouse } from './opened-house.ts';
import { vapidKeys } from './vapid-keys.ts';

interface AlertingSurroundings {
  readonly fleet: () => Fleet;
  readonly publicUrl: () => string;
  readonly line: HouseLine;
}

/** Alerting before it follows anything. */
export interface PreparedAlerting {
  /** Follows the alarm journal and hands pages over from now on. */
  start(around: AlertingSurroundings): Promise<Alerting>;
  /** The process was told to stop. */
  farewell(): void;
}

/**
 * Applies the files that say who is on call and how they are reached, and has a bystander look on:
 * before the rest, since a start may take minutes or hang.
 *
 * @param isLookedAfter false: there is no second process, whoever could be told
 * @throws CommandFailure (2) for a file that is wrong
 */
export async function prepareAlerting(
  house: OpenedHouse,
  fleet: Fleet,
  isLookedAfter: boolean,
): Promise<PreparedAlerting> {
  const { folder, settings, undo } = house;
  const dataFolder = folder.root;
  await applyOnCallFiles({ ...house, fleet, dataFolder, settings: settings.alerting });
  const bystander = await standBy({ ...house, dataFolder, isLookedAfter });
  undo.add(() => bystander.end());
  return {
    start: (around) => open(house, around, bystander),
    farewell: () => bystander.farewell(),
  };
}

async function open(
  house: OpenedHouse,
  { fleet, publicUrl, line }: AlertingSurroundings,
  bystander: StoodBy,
): Promise<Alerting> {
  const { records, clock, metrics, log, undo } = house;
  const { mail, vapidSubject, allowedNetworks } = house.settings.alerting;
  const alerting = await startAlerting({
    records,
    fleet,
    publicUrl,
    clock,
    metrics,
    latest: (site, unit) => line.ingest.latest(site, unit),
    judgedThroughMs: (units) => line.ingest.judgedThroughMs(units),
    channels: createChannels({
      mail,
      vapid: await vapidKeys(records, vapidSubject),
      allowedNetworks,
      clock,
    }),
    random: Math.random,
    log: log.child({ part: 'alerting' }),
  });
  undo.add(() => alerting.stop());
  undo.add(line.ingest.onJournal(() => alerting.journalGrew()));
  line.bringAlerting(alerting);
  bystander.started({ ingest: line.ingest, alerting, records, clock }, metrics);
  return alerting;
}
