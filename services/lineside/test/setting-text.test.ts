import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CommandFailure } from '../src/failure.ts';
import { settingText } from '../src/setting-text.ts';
import { readSettings, settingsHelp } from '../src/settings.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'lineside-setting-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function fileWith(contents: string | Buffer): string {
  const file = join(folder, 'value');
  writeFileSync(file, contents);
  return file;
}

function failure(act: () => unknown): CommandFailure {
  try {
    act();
  } catch (error) {
    if (error instanceof CommandFailure) return error;
  }
  throw new Error('expected a CommandFailure');
}

describe('a setting from a file', () => {
  it.each([
    ['a line end', 's3cret\n', 's3cret'],
    ['a line end of Windows', 's3cret\r\n', 's3cret'],
    ['no line end', 's3cret', 's3cret'],
    ['blanks that are part of it', ' s3 cret \n\n', ' s3 cret \n'],
    ['nothing', '', null],
    ['a line end only', '\n', null],
  ])('takes a file with %s', (_what, contents, expected) => {
    const environment = { LINESIDE_INFLUX_TOKEN_FILE: fileWith(contents) };
    expect(settingText(environment, 'LINESIDE_INFLUX_TOKEN')).toBe(expected);
  });

  it('is refused beside the setting itself, without telling either', () => {
    const environment = { LINESIDE_SMTP_URL: 'one', LINESIDE_SMTP_URL_FILE: fileWith('other') };
    const { status, message } = failure(() => readSettings(environment));
    expect(status).toBe(2);
    expect(message).toBe(
      'LINESIDE_SMTP_URL and LINESIDE_SMTP_URL_FILE are both set, and may differ; unset one of them',
    );
  });

  it('stands for the setting when that is empty, and the other way round', () => {
    const file = fileWith('2222\n');
    const http = { LINESIDE_HTTP_PORT: ' ', LINESIDE_HTTP_PORT_FILE: file };
    expect(readSettings(http).httpPort).toBe(2222);
    const mqtt = { LINESIDE_MQTT_PORT: '3333', LINESIDE_MQTT_PORT_FILE: '' };
    expect(readSettings(mqtt).mqttPort).toBe(3333);
  });

  it('is refused with the path when it cannot be read', () => {
    const file = join(folder, 'missing');
    const { status, message } = failure(() => readSettings({ LINESIDE_MQTT_HOST_FILE: file }));
    expect(status).toBe(2);
    expect(message).toContain(`LINESIDE_MQTT_HOST_FILE: cannot read ${file}: ENOENT`);
    expect(failure(() => readSettings({ LINESIDE_MQTT_HOST_FILE: folder })).message).toContain(
      'EISDIR',
    );
  });

  it('is refused when it is far too long, without telling what is in it', () => {
    const file = fileWith(Buffer.alloc(65_537, 'x'));
    const { status, message } = failure(() => readSettings({ LINESIDE_MQTT_HOST_FILE: file }));
    expect(status).toBe(2);
    expect(message).toBe(
      `LINESIDE_MQTT_HOST_FILE: expected a file of at most 65536 bytes, ${file} holds 65537`,
    );
  });

  it('reaches the settings of InfluxDB, where a token alone is still refused', () => {
    const file = fileWith('t0ken\n');
    const environment = { LINESIDE_INFLUX_TOKEN_FILE: file };
    expect(failure(() => readSettings(environment)).message).toContain(
      'LINESIDE_INFLUX_TOKEN is set without LINESIDE_INFLUX_URL',
    );
    const { influx } = readSettings({ ...environment, LINESIDE_INFLUX_URL: 'http://db:8086' });
    expect(influx?.token).toBe('t0ken');
  });

  it('stands in the help', () => {
    expect(settingsHelp()).toMatch(/NAME_FILE/);
  });
});
