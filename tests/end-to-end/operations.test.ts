/** What whoever runs the server is told: metrics with a meaning each, and certificates that end. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { connect, createServer } from 'node:tls';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { temporaryPlace } from './server-process.ts';

const DOCUMENT = join(import.meta.dirname, '..', '..', 'services', 'lineside', 'OPERATIONS.md');

/** Of another way to run it than the one here; they are in the table all the same. */
const ELSEWHERE = /^lineside_outside_broker_/;

interface Metric {
  readonly name: string;
  readonly kind: string;
  readonly help: string;
}

function metricsIn(text: string): Metric[] {
  const kinds = new Map(
    [...text.matchAll(/^# TYPE (lineside_\w+) (\w+)$/gm)].map(([, name, kind]) => [name, kind]),
  );
  return [...text.matchAll(/^# HELP (lineside_\w+) (.+)$/gm)].map(([, name = '', help = '']) => ({
    name,
    help: help.trim(),
    kind: kinds.get(name) ?? '',
  }));
}

const tableRow = ({ name, kind, help }: Metric): string => `\`${name}\` | ${kind} | ${help}`;

/** Rows of the table without its padding. */
function rowsOf(document: string): string[] {
  return [...document.matchAll(/^\| (`lineside_\w+`) +\| (\w+) +\| (.+?) +\|$/gm)].map(
    ([, name, kind, help]) => `${name} | ${kind} | ${help?.replaceAll('\\|', '|')}`,
  );
}

describe('a server over TLS', () => {
  const keys = temporaryPlace();
  const certificate = join(keys.fleetFile, '..', 'broker.pem');
  const key = join(keys.fleetFile, '..', 'broker.key');
  let here: Installation;

  /** Signs a new certificate for so many days. */
  const sign = (days: number): void => {
    const request = ['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1'];
    const rest = ['-nodes', '-subj', '/CN=broker', '-days', `${days}`];
    execFileSync('openssl', [...request, ...rest, '-keyout', `${key}.new`, '-out', certificate], {
      stdio: 'ignore',
    });
    writeFileSync(key, readFileSync(`${key}.new`));
  };
  const broker = async (): Promise<{ state: string; reason: string | null }> =>
    (await here.get<{ broker: { state: string; reason: string | null } }>('/api/health')).broker;
  const daysShown = (): Promise<number> =>
    new Promise((resolve, reject) => {
      const { hostname: host, port } = new URL(here.server.mqtt);
      const socket = connect({ host, port: Number(port), rejectUnauthorized: false }, () => {
        const endsAtMs = Date.parse(socket.getPeerCertificate().valid_to);
        socket.destroy();
        resolve(Math.round((endsAtMs - Date.now()) / 86_400_000));
      });
      socket.on('error', reject);
    });

  /** What stands in front of the web pages: shows its certificate, and nothing else. */
  const proxy = createServer();

  beforeAll(async () => {
    sign(10);
    proxy.setSecureContext({ cert: readFileSync(certificate), key: readFileSync(key) });
    await new Promise<void>((resolve) => proxy.listen(0, '127.0.0.1', resolve));
    const { port } = proxy.address() as AddressInfo;
    here = await install(undefined, {
      LINESIDE_MQTT_TLS_CERT: certificate,
      LINESIDE_MQTT_TLS_KEY: key,
      LINESIDE_PUBLIC_URL: `https://127.0.0.1:${port}`,
    });
  });
  afterAll(async () => {
    await here.dispose();
    proxy.close();
    keys.dispose();
  });

  it('has each metric in the table of OPERATIONS.md, with when to worry', async () => {
    const answer = await fetch(`${here.server.http}/metrics`, {
      headers: { authorization: `Bearer ${here.officeToken}` },
    });
    const metrics = metricsIn(await answer.text());
    expect(metrics.length).toBeGreaterThan(30);
    expect(metrics.filter(({ help }) => !help.includes('Worry'))).toEqual([]);
    const shown = metrics.map(tableRow).sort();
    // To print a new table: LINESIDE_METRICS_TABLE=file.
    const file = process.env['LINESIDE_METRICS_TABLE'];
    if (file !== undefined) writeFileSync(file, shown.map((row) => `| ${row} |\n`).join(''));
    const documented = rowsOf(readFileSync(DOCUMENT, 'utf8'));
    expect(documented.filter((row) => !ELSEWHERE.test(row.slice(1))).sort()).toEqual(shown);
  });

  it('warns before its certificate ends, and takes a new one without a restart', async () => {
    expect(await daysShown()).toBe(10);
    expect(await broker()).toMatchObject({ state: 'degraded' });
    expect((await broker()).reason).toContain('certificate expires in 10 days');
    expect(here.server.stderr()).toContain('certificate expires in 10 days');

    // Of the proxy, too, which gets its certificates from elsewhere.
    const proxyWords = 'certificate of the web address expires in 10 days';
    await eventually(
      async () => here.server.stderr(),
      (log) => log.includes(proxyWords),
    );

    sign(90);
    here.server.process.kill('SIGHUP');
    await eventually(broker, ({ state }) => state === 'ok');
    expect(await daysShown()).toBe(90);
  });

  it('goes on with the one before when a new one does not fit its key', async () => {
    const fitting = readFileSync(key);
    sign(30);
    writeFileSync(key, fitting);
    here.server.process.kill('SIGHUP');
    const { reason } = await eventually(broker, ({ state }) => state === 'degraded');
    expect(reason).toContain('is not that of the certificate');
    expect(await daysShown()).toBe(90);
  });
});
