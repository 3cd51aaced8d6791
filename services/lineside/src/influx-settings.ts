import type { InfluxOptions } from '@lineside/storage';
import { CommandFailure, EXIT } from './failure.ts';
import { type Environment, settingText } from './setting-text.ts';

const BUCKET = 'lineside';

/** What belongs to the address, and means nothing without it. */
const WITH_ADDRESS = [
  'LINESIDE_INFLUX_TOKEN',
  'LINESIDE_INFLUX_ORG',
  'LINESIDE_INFLUX_BUCKET',
] as const;

/**
 * Reads which InfluxDB keeps the readings; null when none does. No message repeats the token.
 * Throws `CommandFailure` that names the first wrong setting.
 */
export function readInfluxSettings(environment: Environment): InfluxOptions | null {
  const text = (name: string): string | null => settingText(environment, name);
  const url = text('LINESIDE_INFLUX_URL');
  if (url === null) {
    const alone = WITH_ADDRESS.find((name) => text(name) !== null);
    if (alone === undefined) return null;
    throw new CommandFailure(EXIT.badInput, `${alone} is set without LINESIDE_INFLUX_URL`);
  }
  const bucket = text('LINESIDE_INFLUX_BUCKET') ?? BUCKET;
  if (/\p{Cc}/u.test(bucket)) {
    throw wrong('LINESIDE_INFLUX_BUCKET', 'a name without control characters');
  }
  return {
    url: address(url),
    token: text('LINESIDE_INFLUX_TOKEN'),
    org: text('LINESIDE_INFLUX_ORG'),
    bucket,
  };
}

function address(text: string): string {
  const url = URL.canParse(text) ? new URL(text) : null;
  if (url === null || !/^https?:$/.test(url.protocol)) {
    throw wrong('LINESIDE_INFLUX_URL', 'an http or https address');
  }
  if (url.username !== '' || url.password !== '') {
    const instead = 'an address without a sign-in, which LINESIDE_INFLUX_TOKEN holds';
    throw wrong('LINESIDE_INFLUX_URL', instead);
  }
  if (url.search !== '' || url.hash !== '') {
    throw wrong('LINESIDE_INFLUX_URL', 'an address without ? and #');
  }
  return text.replace(/\/+$/, '');
}

function wrong(name: string, expected: string): CommandFailure {
  return new CommandFailure(EXIT.badInput, `${name}: expected ${expected}`);
}
