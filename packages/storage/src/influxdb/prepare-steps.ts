import type { KnownInflux } from './influx-options.ts';
import { SHARD_HOURS } from './influx-retention.ts';
import { alterPolicyStatement, createKeptDatabaseStatement } from './influxql.ts';

/** What the generation calls the place where readings are. */
export function thingName({ generation, bucket }: KnownInflux): string {
  return `${generation === 2 ? 'bucket' : 'database'} ${bucket}`;
}

/**
 * What whoever keeps the server types to make the place, or to change how long it keeps readings.
 *
 * Source: reference of InfluxQL (1), of the commands `influx` (2) and `influxdb3` (3).
 */
export function handSteps(known: KnownInflux, hours: number): readonly string[] {
  const { generation, bucket } = known;
  if (generation === 1) {
    return [
      `where it is missing, as an administrator: ${createKeptDatabaseStatement(bucket, hours, SHARD_HOURS)}`,
      `where it is there: ${alterPolicyStatement(bucket, 'autogen', hours, SHARD_HOURS)}`,
      `for the user of LINESIDE_INFLUX_TOKEN: GRANT ALL ON ${JSON.stringify(bucket)} TO <user>`,
    ];
  }
  const name = quoted(bucket);
  if (generation === 2) {
    const keep = `--retention ${hours}h --shard-group-duration ${SHARD_HOURS}h`;
    const org = quoted(known.org ?? '<organisation>');
    return [
      `where it is missing: influx bucket create --org ${org} --name ${name} ${keep}`,
      `where it is there: influx bucket update --id <its id> ${keep}`,
      `a token for it: influx auth create --org ${org} --read-bucket <its id> --write-bucket <its id>`,
    ];
  }
  return [
    `where it is missing: influxdb3 create database --retention-period ${hours}h ${name}`,
    `where it is there, Enterprise: influxdb3 update database --database ${name} ` +
      `--retention-period ${hours}h`,
    'where it is there, Core: a retention can only be given to a new database',
  ];
}

/** As a shell takes it. */
function quoted(text: string): string {
  return /^[\w.-]+$/.test(text) ? text : `'${text.replaceAll("'", `'\\''`)}'`;
}
