/** `npm run bench [-- NAME…]`: measurements beside the bare library, printed as ratios. */
import { argv } from 'node:process';
import { benchPath } from './path.ts';
import { benchQueries } from './queries.ts';

const BENCHES: Readonly<Record<string, () => Promise<void>>> = {
  path: benchPath,
  queries: benchQueries,
};

const names = argv.slice(2).length > 0 ? argv.slice(2) : Object.keys(BENCHES);
for (const name of names) {
  const bench = BENCHES[name];
  if (bench === undefined) {
    console.error(`no benchmark '${name}'; there are: ${Object.keys(BENCHES).join(', ')}`);
    process.exit(2);
  }
  await bench();
}
