/**
 * Gives Lineside a user of its own in InfluxDB 1 that nobody else has, at the first start: makes the
 * token `user:password` that LINESIDE_INFLUX_TOKEN_FILE names, and the user to it. Later it only
 * looks whether the database lets it in.
 */
import { randomBytes } from 'node:crypto';
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import process from 'node:process';
import { setTimeout as wait } from 'node:timers/promises';

/** A database that repairs its files after a crash takes minutes. */
const ANSWERS_WITHIN_MS = 300_000;
const ASK_EVERY_MS = 1_000;
const ASK_FOR_MS = 10_000;
const PASSWORD_BYTES = 32;
const USER = 'lineside';

const url = process.env.LINESIDE_INFLUX_URL;
const file = process.env.LINESIDE_INFLUX_TOKEN_FILE;
if (!url || !file) giveUp('LINESIDE_INFLUX_URL and LINESIDE_INFLUX_TOKEN_FILE must be set');

if (!existsSync(file)) {
  writeFileSync(`${file}.new`, `${USER}:${randomBytes(PASSWORD_BYTES).toString('hex')}\n`, {
    mode: 0o400,
  });
  renameSync(`${file}.new`, file);
}
const token = readFileSync(file, 'utf8').trim();
const [user, password] = token.split(':');
const version = await versionOf();
if (!/^v?1\./.test(version)) giveUp(`${url} is InfluxDB ${version}: make its token there`);
// While it has no user, the database takes this from anybody; afterwards from nobody.
await ask(`CREATE USER "${user}" WITH PASSWORD '${password}' WITH ALL PRIVILEGES`);
const { status } = await ask('SHOW DATABASES', {
  authorization: `Basic ${Buffer.from(token, 'utf8').toString('base64')}`,
});
if (status !== 200) {
  giveUp(`${url} does not take the user and password in ${file} (${status}): was it made anew?`);
}

async function versionOf() {
  const lastAt = Date.now() + ANSWERS_WITHIN_MS;
  for (;;) {
    try {
      const answer = await fetch(`${url}/ping`, { signal: AbortSignal.timeout(ASK_FOR_MS) });
      const found = answer.headers.get('x-influxdb-version');
      if (answer.ok && found) return found;
    } catch (error) {
      if (Date.now() > lastAt) giveUp(`${url} does not answer: ${error.cause ?? error}`);
    }
    await wait(ASK_EVERY_MS);
  }
}

function ask(q, headers = {}) {
  const body = new URLSearchParams({ q });
  return fetch(`${url}/query`, {
    ...{ method: 'POST', body, headers },
    signal: AbortSignal.timeout(ASK_FOR_MS),
  });
}

function giveUp(sentence) {
  process.stderr.write(`lineside: ${sentence}\n`);
  process.exit(3);
}
