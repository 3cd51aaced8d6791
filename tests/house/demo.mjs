/** `npm run demo`: installs and builds what is missing, then starts the demo. */
import process from 'node:process';
import { giveUp, install, ROOT, run } from './install.mjs';

install();
process.stderr.write('lineside: building\n');
if (run('npm', ['run', '--silent', 'build'], { stdio: ['ignore', 2, 2] }) !== 0) {
  giveUp('the build failed; see its messages above', 1);
}
process.chdir(ROOT);
process.argv.splice(2, 0, 'demo');
await import('../../services/lineside/bin/lineside.mjs');
