import { MESSAGE_MOST_BYTES } from '@lineside/readings';

export interface ListenAddress {
  readonly host: string;
  readonly port: number;
}

export interface BrokerTls {
  readonly certificate: string;
  readonly key: string;
  /** For nodes that sign in with a client certificate, at a port of their own. */
  readonly clients: {
    readonly listen: ListenAddress;
    readonly ca: string;
    readonly revoked: string | null;
  } | null;
}

export interface MosquittoConfOptions {
  /** Where nodes and readers sign in with their passwords. */
  readonly listen: ListenAddress;
  /** Where Lineside's own processes do. */
  readonly houseListen: ListenAddress;
  readonly houseTls: boolean;
  /** null: in the clear. */
  readonly tls: BrokerTls | null;
  readonly passwordFile: string;
  readonly accessRulesFile: string;
  /** Where Mosquitto keeps what must outlive it. */
  readonly stateFolder: string;
}

/** Topic and fixed header on top of the largest message: as the embedded broker has it. */
const MOST_PACKET_BYTES = MESSAGE_MOST_BYTES + 1024;

/**
 * The configuration, in the words of Mosquitto 2.0; each limit says why it is there. Only what is
 * said to be read anew at SIGHUP may depend on the fleet, so nothing here does.
 */
export function mosquittoConf(options: MosquittoConfOptions): string {
  return [general(options), limits(), keeping(options), listeners(options)].join('\n');
}

function general({ passwordFile, accessRulesFile }: MosquittoConfOptions): string {
  return `# Mosquitto 2.0 for Lineside. Written by 'lineside broker files': changes by hand are lost.

# One password file and one access-rules file for all listeners; both are read anew at SIGHUP.
per_listener_settings false
allow_anonymous false
password_file ${passwordFile}
acl_file ${accessRulesFile}

# To standard error, where systemd and containers look. No lines about single messages.
log_dest stderr
log_type error
log_type warning
log_type notice
log_type information
`;
}

function limits(): string {
  return `# A larger packet ends its connection. Lineside looks at messages of up to 1 MiB.
max_packet_size ${MOST_PACKET_BYTES}

# Messages that wait for Lineside while it is away; further ones are dropped without a word,
# though they were acknowledged. The default of 1,000 is a few seconds. A million is 16 minutes of
# 1,000 a second, or 33 hours of 500 nodes that report once a minute. 0 would mean no limit, but
# in Debian's 2.0.11 it makes a publish that is denied end the connection.
max_queued_messages 1000000

# The same in bytes, so that large messages cannot fill the memory: whichever comes first.
max_queued_bytes 536870912

# On their way to one subscriber and not acknowledged. Lineside acknowledges after its commit: the
# default of 20 would cap it at 20 a commit.
max_inflight_messages 1000

# A session that nobody came back for is forgotten with what waits in it: longer than any outage
# that is left alone, shorter than for ever.
persistent_client_expiration 14d
`;
}

function keeping({ stateFolder }: MosquittoConfOptions): string {
  return `# Mosquitto acknowledges what is in its memory. A stop in order writes all of it; a crash loses
# what came since the last write and was not yet handed to Lineside: at most this many seconds of
# what waits for it. Each write is the whole store and answers nobody meanwhile: with a long queue,
# shorter times leave no time for work.
persistence true
persistence_location ${stateFolder.replace(/\/*$/, '/')}
autosave_interval 10
`;
}

function listeners(options: MosquittoConfOptions): string {
  const { houseListen, houseTls, listen, tls } = options;
  const houseLines = houseTls && tls !== null ? tlsLines(tls) : '';
  const parts = [
    `# For Lineside's own processes, which choose their client ids. Keep it out of the reach of nodes:
# who may sign in here can take over the session of another client id, and what waits in it.
# (max_connections stands below a listener: above the first one it opens port 1883 as well.)
listener ${houseListen.port} ${houseListen.host}
max_connections 100
${houseLines}`,
    `# For nodes, and for programs that read alarms. The user name is the client id as well: nobody
# can end the connection of another, and each user has one connection. More than about 1,000
# connections need LimitNOFILE= in the systemd unit.
listener ${listen.port} ${listen.host}
max_connections 10000
use_username_as_clientid true
${tls === null ? '' : tlsLines(tls)}`,
  ];
  if (tls?.clients) parts.push(certificateListener(tls, tls.clients));
  return parts.join('\n');
}

function tlsLines({ certificate, key }: BrokerTls): string {
  return `certfile ${certificate}\nkeyfile ${key}\ntls_version tlsv1.2\n`;
}

function certificateListener(tls: BrokerTls, clients: NonNullable<BrokerTls['clients']>): string {
  const revoked = clients.revoked === null ? '' : `crlfile ${clients.revoked}\n`;
  return `# For nodes with a client certificate, common name <site>/<unit>; no password is asked for.
listener ${clients.listen.port} ${clients.listen.host}
max_connections 10000
${tlsLines(tls)}cafile ${clients.ca}
${revoked}require_certificate true
use_identity_as_username true
use_username_as_clientid true
`;
}
