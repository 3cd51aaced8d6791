import { bodyOf, client } from './client.ts';
import type {
  Alerting,
  CalendarAddress,
  ChangeOutcome,
  ContactPoint,
  Rota,
  RotaChange,
  Shift,
} from './types.ts';

/** The coming six weeks. */
export async function comingShifts(): Promise<readonly Shift[]> {
  return (await bodyOf(client.GET('/api/on-call/shifts'))).items;
}

export function readRota(): Promise<Rota> {
  return bodyOf(client.GET('/api/on-call/rota'));
}

/** What would come of a change, or with `keep` what has come of it. */
export function arrange(
  team: string,
  change: RotaChange,
  generation: number,
  keep: boolean,
): Promise<ChangeOutcome> {
  return bodyOf(
    client.POST('/api/on-call/teams/{team}/changes', {
      params: { path: { team } },
      body: { change, generation, tryOnly: !keep },
    }),
  );
}

export async function callOff(team: string, id: string, generation: number): Promise<void> {
  await client.POST('/api/on-call/teams/{team}/changes/{id}/call-off', {
    params: { path: { team, id } },
    body: { generation },
  });
}

export function makeCalendarAddress(): Promise<CalendarAddress> {
  return bodyOf(client.POST('/api/on-call/calendar'));
}

export async function takeBackCalendarAddress(): Promise<void> {
  await client.DELETE('/api/on-call/calendar');
}

export async function myContactPoints(): Promise<readonly ContactPoint[]> {
  return (await bodyOf(client.GET('/api/contact-points/mine'))).items;
}

/** Null when the server sends no push. */
export async function pushKey(): Promise<string | null> {
  return (await bodyOf(client.GET('/api/push-key'))).publicKey;
}

/** A subscription as `PushSubscription.toJSON` gives it. */
export interface SubscriptionJson {
  readonly endpoint: string;
  readonly keys: { readonly p256dh: string; readonly auth: string };
}

export function addPushDevice(
  subscription: SubscriptionJson,
  name?: string,
): Promise<ContactPoint> {
  const { endpoint, keys } = subscription;
  const body = { subscription: { endpoint, keys }, ...(name === undefined ? {} : { name }) };
  return bodyOf(client.POST('/api/contact-points/mine', { body }));
}

export async function removeContactPoint(id: string): Promise<void> {
  await client.DELETE('/api/contact-points/mine/{id}', { params: { path: { id } } });
}

/** What was sent and to where, in words. */
export async function sendTestPage(): Promise<string> {
  return (await bodyOf(client.POST('/api/test-page'))).words;
}

export function readAlerting(): Promise<Alerting> {
  return bodyOf(client.GET('/api/alerting'));
}
