/**
 * `lineside bystander`, started by `lineside serve` beside itself: tells people when the server
 * stops. It hears the server over its standard input and needs nothing else of it.
 */
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { Bystander, parseServerLine } from '@lineside/alerting/bystander';
import { EXIT } from '../failure.ts';
import { keptTroubles } from './kept-troubles.ts';
import type { BystanderLine } from './told-lines.ts';

const LOOK_EVERY_MS = 1000;

/** Looks after which the server hears that there is somebody: every five seconds. */
const LOOKS_PER_WORD = 5;

const { values } = parseArgs({
  args: process.argv.slice(3),
  options: { data: { type: 'string' } },
  strict: false,
});
const dataFolder = values['data'];
if (typeof dataFolder !== 'string' || process.stdin.isTTY) {
  process.stderr.write("lineside: the bystander is started by 'lineside serve', not by hand\n");
  process.exit(EXIT.badInput);
}

// Whom it speaks to may be gone at any time; that is what it is here for.
process.stdout.on('error', () => {});
process.stdin.on('error', () => {});
// A terminal's Ctrl-C is for the server, which says farewell then.
process.on('SIGINT', () => {});
process.on('SIGHUP', () => {});
process.on('SIGTERM', () => process.exit(EXIT.done));

const bystander = new Bystander({
  kept: keptTroubles(dataFolder),
  clock: Date.now,
  random: Math.random,
  say: (level, words, about = {}) => say({ kind: 'log', level, words, about }),
});
const lines = createInterface({ input: process.stdin });
lines.on('line', (text) => {
  const line = parseServerLine(text);
  if (line === null) return;
  bystander.hear(line);
  if (line.kind === 'farewell') void look();
});
lines.on('close', () => bystander.closed());

let looks = 0;
let isEnding = false;
setInterval(look, LOOK_EVERY_MS);

async function look(): Promise<void> {
  if (isEnding) return;
  const end = bystander.look();
  if (end === null) {
    looks += 1;
    if (looks % LOOKS_PER_WORD === 1) say({ kind: 'looked' });
    return;
  }
  isEnding = true;
  await bystander.close();
  process.exit(EXIT.done);
}

function say(line: BystanderLine): void {
  process.stdout.write(`${JSON.stringify(line)}\n`);
}
