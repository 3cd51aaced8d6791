import { describe, expect, it } from 'vitest';
import { telemetrySource } from '../src/data-folder.ts';
import { readInfluxSettings } from '../src/influx-settings.ts';
import { readSettings, settingsHelp } from '../src/settings.ts';

const URL_ONLY = { LINESIDE_INFLUX_URL: 'http://db:8086/' };
const FOLDER = { root: '/data', telemetry: '/data/telemetry', records: '/data/records.db' };

describe('settings of InfluxDB', () => {
  it('are nothing without an address: readings stay in the data folder', () => {
    expect(readSettings({}).influx).toBeNull();
    expect(telemetrySource(FOLDER, null)).toEqual({ kind: 'sqlite', folder: '/data/telemetry' });
  });

  it('take the bucket lineside unless another is named', () => {
    const server = readInfluxSettings(URL_ONLY);
    expect(server).toEqual({ url: 'http://db:8086', token: null, org: null, bucket: 'lineside' });
    expect(telemetrySource(FOLDER, server)).toEqual({ kind: 'influxdb', server });
    const all = readInfluxSettings({
      LINESIDE_INFLUX_URL: 'https://db/influx',
      LINESIDE_INFLUX_TOKEN: 't',
      LINESIDE_INFLUX_ORG: 'north',
      LINESIDE_INFLUX_BUCKET: 'roofs',
    });
    expect(all).toEqual({ url: 'https://db/influx', token: 't', org: 'north', bucket: 'roofs' });
  });

  it.each([
    ['no address', { LINESIDE_INFLUX_URL: 'db:8086' }, 'an http or https address'],
    ['a sign-in', { LINESIDE_INFLUX_URL: 'http://ann:s3cret@db' }, 'without a sign-in'],
    ['a question', { LINESIDE_INFLUX_URL: 'http://db/?db=s3cret' }, 'without ? and #'],
    ['a lone token', { LINESIDE_INFLUX_TOKEN: 's3cret' }, 'set without LINESIDE_INFLUX_URL'],
    ['a bad bucket', { ...URL_ONLY, LINESIDE_INFLUX_BUCKET: 'a\tb' }, 'LINESIDE_INFLUX_BUCKET'],
  ])('refuse %s, and tell no secret', (_what, environment, words) => {
    expect(() => readSettings(environment)).toThrow(words);
    expect(() => readSettings(environment)).not.toThrow(/s3cret/);
  });

  it('stand in the help', () => {
    expect(settingsHelp()).toMatch(/LINESIDE_INFLUX_URL .*without it: SQLite in the data folder/);
  });
});
