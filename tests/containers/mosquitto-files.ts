import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { lineside } from '../end-to-end/server-process.ts';
import type { MosquittoFiles } from './servers.ts';

const FOLDER = '/etc/lineside-broker';

/** At the first one nodes sign in, at the second our own processes. */
export const NODE_PORT = 1883;
export const HOUSE_PORT = 1884;

/** MQTT 5 clients notice within 1.5 times this that the broker is silent; Mosquitto's least. */
const KEEP_ALIVE = 'max_keepalive 10';

/** Mosquitto as `lineside broker files` configures it for a fleet, and our own password there. */
export async function mosquittoFilesFor(
  data: string,
  fleetFile: string,
): Promise<MosquittoFiles & { readonly ownPassword: string }> {
  const out = mkdtempSync(join(tmpdir(), 'lineside-broker-files-'));
  try {
    const where = ['--listen', `0.0.0.0:${NODE_PORT}`, '--house-listen', `0.0.0.0:${HOUSE_PORT}`];
    const asked = ['broker', 'files', '--fleet', fleetFile, '--data', data, '--out', out];
    const made = await lineside([...asked, '--state', '/data', ...where]);
    if (made.status !== 0) throw new Error(`broker files: ${made.stdout}${made.stderr}`);
    const texts = Object.fromEntries(
      readdirSync(out).map((name) => [name, readFileSync(join(out, name), 'utf8')]),
    );
    const { 'mosquitto.conf': conf = '', 'lineside-password': password = '', ...others } = texts;
    return {
      configuration: `${conf.replaceAll(out, FOLDER)}\n${KEEP_ALIVE}\n`,
      files: Object.fromEntries(
        Object.entries(others).map(([name, text]) => [join(FOLDER, name), text]),
      ),
      ports: [NODE_PORT, HOUSE_PORT],
      ownPassword: password.trim(),
    };
  } finally {
    rmSync(out, { recursive: true });
  }
}
