import type { Alarm } from '@lineside/alarms';
import type { PageLink } from '@lineside/storage';
import type { LightMyRequestResponse } from 'fastify';
import type { ApiDependencies } from '../../src/dependencies.ts';
import { alarmOf, raiseOf } from './alarm.ts';
import { type House, openHouse, START_MS } from './house.ts';
import { ROTA } from './rota.ts';

const HOUR_MS = 3_600_000;

/** Links of this house end in `.ours`. */
const readLink: ApiDependencies['pages']['readLink'] = (signed) =>
  signed.endsWith('.ours') ? signed.slice(0, -'.ours'.length) : null;

export const LINK = 'link-of-ana.ours';

export function linkOf(id: string, alarmIds: readonly string[], more: object = {}): PageLink {
  return {
    id,
    pageKey: 'alone-1',
    person: 'ana',
    alarmIds,
    createdAtMs: START_MS - HOUR_MS,
    expiresAtMs: START_MS + 24 * HOUR_MS,
    deviceHash: null,
    ...more,
  };
}

/** A house with a rota, and a page to Ana about the alarms. */
export async function housePaging(
  alarms: readonly Alarm[] = [alarmOf('one')],
  options: Parameters<typeof openHouse>[0] = {},
): Promise<House> {
  const house = await openHouse({ pages: { readLink, roofDanger: () => null }, ...options });
  await house.records.saveRota(ROTA, 0);
  await house.records.changeAlarms(alarms.map((alarm) => ({ entry: raiseOf(alarm) })));
  const ids = alarms.map(({ id }) => id);
  house.records.pageLinks.set('link-of-ana', linkOf('link-of-ana', ids));
  return house;
}

/** What a press could have changed. */
export const kept = ({ records }: House): string =>
  JSON.stringify([[...records.alarmsById], records.journal, [...records.pageLinks]]);

/** A browser that keeps the cookies it is given. */
export class Device {
  readonly #house: House;
  readonly #jar = new Map<string, string>();

  constructor(house: House) {
    this.#house = house;
  }

  async read(path = `/api/pages/${LINK}`): Promise<LightMyRequestResponse> {
    return this.#kept(await this.#house.app.inject({ url: path, headers: this.#headers() }));
  }

  async press(
    action: string,
    body: object,
    headers: Record<string, string> = {},
  ): Promise<LightMyRequestResponse> {
    const response = await this.#house.app.inject({
      method: 'POST',
      url: `/api/pages/${LINK}/${action}`,
      headers: { ...this.#headers(), ...headers },
      payload: body,
    });
    return this.#kept(response);
  }

  #headers(): Record<string, string> {
    const cookie = [...this.#jar].map(([name, value]) => `${name}=${value}`).join('; ');
    return cookie === '' ? {} : { cookie };
  }

  #kept(response: LightMyRequestResponse): LightMyRequestResponse {
    for (const { name, value } of response.cookies) this.#jar.set(name, value);
    return response;
  }
}
