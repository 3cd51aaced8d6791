/** `npm run bench [-- NAME…]`: measurements beside the bare library, printed as ratios. */
import { argv } from 'node:process';
import { benchBackTest } from './back-test.ts';
import { type BenchOptions, benchArguments } from './bench-options.ts';
import { benchInflux } from './influx.ts';
import { benchInfluxQueries } from './influx-queries.ts';
import { benchLate } from './late.ts';
import { benchMosquittoLosses } from './mosquitto-losses.ts';
import { benchOutages } from './outages.ts';
import { benchOutsideKills } from './outside-kills.ts';
import { benchOutsidePath } from './outside-path.ts';
import { benchPaging, benchPagingKills } from './paging.ts';
import { stepsOfStorm } from './paging-steps.ts';
import { benchPath } from './path.ts';
import { benchQueries } from './queries.ts';
import { benchSecondWorld } from './second.ts';
import { benchSimulate } from './simulate.ts';
import { benchStates } from './states.ts';
import { benchStoreMonths } from './store-months.ts';
import { benchStorms } from './storms.ts';
import {
  benchRivals,
  benchWarning,
  calibrateCauses,
  drawPictures,
  recordWarning,
  studyDetectors,
  tuneRivals,
} from './warning.ts';
import { benchWorld } from './world.ts';

const BENCHES: Readonly<Record<string, (options: BenchOptions) => Promise<void>>> = {
  path: benchPath,
  queries: benchQueries,
  storms: benchStorms,
  simulate: benchSimulate,
  states: benchStates,
  late: benchLate,
  backtest: benchBackTest,
  world: benchWorld,
  paging: benchPaging,
  'paging-steps': stepsOfStorm,
};

/** They write checked-in files, are for work on detectors, or take long: only when named. */
const RECORDERS: typeof BENCHES = {
  influx: benchInflux,
  'mosquitto-losses': benchMosquittoLosses,
  outages: benchOutages,
  'outside-kills': benchOutsideKills,
  'outside-path': benchOutsidePath,
  'influx-queries': benchInfluxQueries,
  'store-months': benchStoreMonths,
  'paging-kills': benchPagingKills,
  warning: benchWarning,
  rivals: benchRivals,
  pictures: drawPictures,
  study: studyDetectors,
  second: benchSecondWorld,
  tune: tuneRivals,
  calibrate: calibrateCauses,
  'record-warning': recordWarning,
};

const { names, options } = benchArguments(argv.slice(2));
for (const name of names.length > 0 ? names : Object.keys(BENCHES)) {
  const bench = BENCHES[name] ?? RECORDERS[name];
  if (bench === undefined) {
    const known = [...Object.keys(BENCHES), ...Object.keys(RECORDERS)].join(', ');
    console.error(`no benchmark '${name}'; there are: ${known}`);
    process.exit(2);
  }
  await bench(options);
}
