/**
 * `node lay-out.mjs FOLDER`, in a tree that is installed and built: lays out all that the image
 * holds, and nothing else. In FOLDER/all: Node with the libraries it loads, the built command with
 * what it depends on, and two users; no shell, no npm, no compiler, no sources. In FOLDER/own: what
 * the user of the image must be given.
 *
 * With SOURCE_DATE_EPOCH (seconds) every file bears that time, so that the same inputs give the
 * same layer. It must differ between versions, since browsers tell pages apart by time and size.
 */
import {
  chmodSync,
  cpSync,
  lutimesSync,
  mkdirSync,
  readdirSync,
  realpathSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, relative, sep } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { isNeeded } from './needed-files.mjs';
import { closure } from './production-packages.mjs';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..');
const COMMAND = '@lineside/lineside';

/** Above those that systems hand out to people and daemons, the same for ever: volumes keep it. */
const USER_ID = 10_001;

const ETC = {
  passwd: `root:x:0:0:root:/:/nologin\nlineside:x:${USER_ID}:${USER_ID}:Lineside:/data:/nologin\n`,
  group: `root:x:0:\nlineside:x:${USER_ID}:\n`,
  'nsswitch.conf': 'hosts: files dns\n',
};

const folder = process.argv[2];
if (folder === undefined) {
  process.stderr.write('usage: node lay-out.mjs FOLDER\n');
  process.exit(2);
}
const out = join(folder, 'all');
mkdirSync(join(folder, 'own/data'), { recursive: true });
layOutPackages(join(out, 'app'));
layOutNode();
layOutSystem();
setTimes(folder, process.env.SOURCE_DATE_EPOCH);

function layOutPackages(app) {
  for (const { folder, name, isOurs } of closure(ROOT, COMMAND)) {
    const at = relative(ROOT, folder);
    cpSync(folder, join(app, at), {
      recursive: true,
      filter: (file) => isNeeded(name, isOurs, relative(folder, file).split(sep).join('/')),
    });
    if (!isOurs) continue;
    const link = join(app, 'node_modules', name);
    mkdirSync(dirname(link), { recursive: true });
    cpSync(join(ROOT, 'node_modules', name), link, { verbatimSymlinks: true });
  }
}

/** Node, and each library that it or an addon of ours has loaded, under the path it was found at. */
function layOutNode() {
  const bin = join(out, 'usr/local/bin');
  mkdirSync(bin, { recursive: true });
  cpSync(realpathSync(process.execPath), join(bin, 'node'));
  cpSync(join(ROOT, 'services/lineside/container/command.cjs'), join(bin, 'lineside'));
  for (const file of ['node', 'lineside']) chmodSync(join(bin, file), 0o755);
  const require = createRequire(import.meta.url);
  for (const addon of filesBelow(join(out, 'app')).filter((file) => file.endsWith('.node'))) {
    require(addon);
  }
  const { sharedObjects } = process.report.getReport();
  for (const library of sharedObjects) {
    const isFile = library.startsWith('/') && !library.endsWith('.node');
    if (!isFile || realpathSync(library) === realpathSync(process.execPath)) continue;
    cpSync(realpathSync(library), join(out, library));
  }
}

function layOutSystem() {
  mkdirSync(join(out, 'etc'), { recursive: true });
  for (const [name, text] of Object.entries(ETC)) writeFileSync(join(out, 'etc', name), text);
  mkdirSync(join(out, 'tmp'));
  chmodSync(join(out, 'tmp'), 0o1777);
}

function filesBelow(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** Deepest first, since what happens in a folder changes its time. */
function setTimes(top, seconds) {
  if (!seconds) return;
  if (!/^\d+$/.test(seconds)) throw new Error(`SOURCE_DATE_EPOCH: no seconds: '${seconds}'`);
  const entries = readdirSync(top, { recursive: true }).sort().reverse();
  for (const name of [...entries, '.']) {
    lutimesSync(join(top, name), Number(seconds), Number(seconds));
  }
}
