/** Where the outside broker is and who we are to it. */
export interface OutsideBrokerSettings {
  /** For people: the address without user name and password. */
  readonly url: string;
  readonly host: string;
  readonly port: number;
  readonly username: string | null;
  readonly password: string | null;
  /** Names the session that the broker keeps for us: one for each ingest at one broker. */
  readonly clientId: string;
  /** Null: without TLS. */
  readonly tls: OutsideTls | null;
}

/** PEM texts. The broker's certificate is always verified. */
export interface OutsideTls {
  /** Null: the authorities that Node trusts. */
  readonly ca: string | null;
  readonly certificate: string | null;
  readonly key: string | null;
}
