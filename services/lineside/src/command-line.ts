import { Command } from 'commander';
import { backtest } from './commands/backtest.ts';
import { addBackup } from './commands/backup.ts';
import { brokerFiles, brokerReader } from './commands/broker.ts';
import { demo } from './commands/demo.ts';
import { addInvite } from './commands/invite.ts';
import { nodeCreate, nodeRevoke } from './commands/node.ts';
import { addRestore } from './commands/restore.ts';
import { serve } from './commands/serve.ts';
import { simulate } from './commands/simulate.ts';
import { addStore } from './commands/store.ts';
import { tokenCreate } from './commands/token.ts';
import { verdicts } from './commands/verdicts.ts';
import { whatIf } from './commands/what-if.ts';
import { settingsHelp } from './settings.ts';
import { version } from './version.ts';

const ABOUT =
  'Watches the line side of rooftop air-conditioning units: moisture, leakage and phase currents\n' +
  'from nodes over MQTT, alarms before fuses go. It is no protective device.';

const EXAMPLES = `
Examples:
  lineside demo                                        a simulated fleet, nothing to set up
  lineside serve --fleet fleet.yaml --data ./data      the real thing
  lineside invite --role technician --data ./data
  lineside node create harbour-mall rtu-01 --data ./data
  lineside token create --role office --data ./data
  lineside backtest --fleet fleet.yaml --telemetry readings.ndjson --alarms alarms.ndjson

Exit status: 0 done; 1 done, some input refused; 2 bad arguments, settings or file;
3 cannot start (port or data folder in use).`;

const DATA = ['--data <folder>', 'data folder (or LINESIDE_DATA)'] as const;

/** The whole vocabulary of the command. */
export function commandLine(): Command {
  const program = new Command('lineside')
    .description(ABOUT)
    .version(version())
    .addHelpText('after', EXAMPLES)
    .configureOutput({
      outputError: (text, write) => write(`lineside: ${text.replace(/^error: /, '')}`),
    })
    .exitOverride();
  addServe(program);
  addInvite(program);
  addHealth(program);
  addCredentials(program);
  addBroker(program);
  addSimulation(program);
  addWhatIf(program);
  addBackTest(program);
  addVerdicts(program);
  addBackup(program);
  addRestore(program);
  addStore(program);
  return program;
}

function addServe(program: Command): void {
  program
    .command('serve')
    .description('run broker, store, watches, web pages, API and paging, or some of it')
    .option(
      '--fleet <file>',
      'fleet file, YAML or JSON (or LINESIDE_FLEET); ingest applies it at each start',
    )
    .option(...DATA)
    .option(
      '--only <service>',
      'ingest, api or alerting: run this service alone, beside processes of the others that find it ' +
        'by the broker of LINESIDE_MQTT_URL; repeatable',
      collect,
      [],
    )
    .addHelpText('after', settingsHelp)
    .action(serve);
}

/** Run by `bin/lineside.mjs` without all of this; here for `--help`. */
function addHealth(program: Command): void {
  program
    .command('health')
    .description(
      "ask a 'lineside serve' with LINESIDE_HEALTH_PORT on this machine whether its services go on; " +
        'status 0 when they do, 1 when not',
    );
}

function addCredentials(program: Command): void {
  program
    .command('token')
    .description('bearer tokens for programs')
    .command('create')
    .description('print a new token; it is shown only this once')
    .requiredOption('--role <role>', 'office, technician or viewer')
    .option('--site <id>', 'a site that a viewer may read; repeatable', collect, [])
    .option(...DATA)
    .action(tokenCreate);
  const node = program.command('node').description('sign-in of sensor nodes and outdoor stations');
  node
    .command('create')
    .description('print a new user name and password for each unit; shown only this once')
    .argument('<site>', 'site id')
    .argument('<unit...>', "unit ids; 'weather' is the site's outdoor station")
    .option(...DATA)
    .action(nodeCreate);
  node
    .command('revoke')
    .description('take the sign-in of units away; connections that stand are ended')
    .argument('<site>', 'site id')
    .argument('<unit...>', 'unit ids')
    .option(...DATA)
    .action(nodeRevoke);
}

function addBroker(program: Command): void {
  const broker = program.command('broker').description('an outside broker, Mosquitto');
  broker
    .command('files')
    .description('write its configuration, password file and access rules from the fleet')
    .requiredOption('--out <folder>', 'where they go')
    .option('--fleet <file>', 'fleet file; without it the stored fleet')
    .option(...DATA)
    .option('--listen <host:port>', 'for nodes and readers (default: 127.0.0.1:1883, TLS 8883)')
    .option('--tls-cert <file>', 'PEM file; with it that listener speaks TLS')
    .option('--tls-key <file>', 'PEM file with the key to it')
    .option('--client-ca <file>', 'PEM file; nodes may have certificates of it, CN <site>/<unit>')
    .option('--client-listen <host:port>', 'for those (default: port 8884 of the same address)')
    .option('--crl <file>', 'PEM file with the certificates of it that are revoked')
    .option('--house-listen <host:port>', "for Lineside's own processes", '127.0.0.1:1884')
    .option('--house-tls', 'TLS there too')
    .option('--state <folder>', 'where Mosquitto keeps messages', '/var/lib/mosquitto')
    .option('--seen-at <folder>', 'where Mosquitto sees the files, when not where they are written')
    .option('--new-password', "give Lineside's own processes a new password")
    .action(brokerFiles);
  broker
    .command('reader')
    .description('print a new user name and password of a program that reads alarms there')
    .argument('<name>', 'its user name')
    .option(
      '--site <id>',
      'a site whose alarms it may read; repeatable; without it all',
      collect,
      [],
    )
    .option('--remove', 'take its sign-in away')
    .option(...DATA)
    .action(brokerReader);
}

function addSimulation(program: Command): void {
  program
    .command('simulate')
    .description('play a fleet: publish the readings of simulated nodes to a running server')
    .option('--fleet <file>', 'fleet file; without it the demonstration fleet')
    .option(...DATA)
    .option('--mqtt <url>', 'broker', 'mqtt://127.0.0.1:1883')
    .option('--days <number>', 'days of history that are sent first', '7')
    .option('--seed <number>', 'the same seed plays the same weather and faults', '1')
    .option('--no-live', 'stop when the history is sent')
    .action(simulate);
  program
    .command('demo')
    .description('a server with a simulated fleet of two dozen units, on loopback')
    .option(
      '--data <folder>',
      'keep the data there (default: a temporary folder, removed at the end)',
    )
    .option('--days <number>', 'days of history', '42')
    .option('--seed <number>', 'the same seed plays the same weather and faults', '1')
    .action(demo);
}

function addWhatIf(program: Command): void {
  program
    .command('what-if')
    .description('count the alarms that stored history would have raised with other limits')
    .option('--limit <name=number>', 'a limit as in a fleet file; repeatable', collect, [])
    .option('--site <id>', 'only this site')
    .option('--unit <id>', 'only this unit of the site')
    .option('--days <number>', 'alarms of so many days back from now', '90')
    .option('--alarms <file>', 'write the alarms there would have been, one JSON object a line')
    .option(...DATA)
    .action(whatIf);
}

const BACK_TEST_NOTES = `
Inputs have one JSON object a line, in any order, plain or gzip; '-' is standard input or output.
  readings  {"site":"harbour-mall","unit":"rtu-01","time":"2026-01-10T04:00:00Z","rh":71.2,
            "t":-3.1,"leak":1.9,"ia":17.2,"ib":17.0,"ic":17.3}   leak, leakr and leakmax in mA
  weather   the same with "unit":"weather"
  service   {"site":"harbour-mall","unit":"rtu-01","time":"2026-01-10T09:30:00Z",
            "action":"fuses-replaced","phases":["a","c"]}
  verdicts  what 'lineside verdicts' writes; {"site":"harbour-mall","unit":"rtu-01",
            "kind":"leakage","raised":"2026-01-10T04:12:00Z","verdict":"true"} is enough
Lines that cannot be taken are reported with their numbers, and the exit status is 1. An
implausible value drops its channel only and leaves the exit status 0. Inputs in order of time are
judged as they are read; others are sorted first, in the system's temporary folder (TMPDIR).`;

function addBackTest(program: Command): void {
  program
    .command('backtest')
    .description('judge files of readings as if they had been measured live, without a server')
    .requiredOption('--fleet <file>', 'fleet file, YAML or JSON')
    .requiredOption('--telemetry <file>', 'readings; repeatable', collectFirst)
    .option('--weather <file>', 'outdoor reports; repeatable', collect, [])
    .option('--service <file>', 'service records; repeatable', collect, [])
    .requiredOption('--alarms <file>', 'where alarms go, in order of their raise')
    .option('--episodes <file>', 'where wettings go, in order of their start')
    .option('--conditions <file>', 'where the condition of each unit goes, in order of time')
    .option('--every <interval>', 'how often conditions are told: 5m, 1h, 1d', '1h')
    .option('--verdicts <file>', 'alarms of which people said whether they were true; counted')
    .option('--verdict-report <file>', 'where the counts go as JSON, with what went wrong')
    .addHelpText('after', BACK_TEST_NOTES)
    .action(backtest);
}

function addVerdicts(program: Command): void {
  program
    .command('verdicts')
    .description('write what people said of alarms, one JSON object a line, for back-tests')
    .option('--out <file>', "where they go; '-' is standard output", '-')
    .option(...DATA)
    .action(verdicts);
}

function collectFirst(value: string, earlier: string[] | undefined): string[] {
  return collect(value, earlier ?? []);
}

function collect(value: string, earlier: string[]): string[] {
  return [...earlier, value];
}
