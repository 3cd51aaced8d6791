const MINUTE_SECONDS = 60;

/** Minute readings of a unit that runs on three phases, as one SenML pack. */
export function minutePack(fromMs: number, minutes: number, leakMilliamps: number): string {
  const records: unknown[] = [{ bn: 'urn:dev:ow:0a01:', bt: fromMs / 1000 }];
  for (let minute = 0; minute < minutes; minute++) {
    const t = minute * MINUTE_SECONDS;
    records.push(
      { n: 'rh', u: '%RH', t, v: 61 },
      { n: 't', u: 'Cel', t, v: 14.2 },
      { n: 'leak', u: 'A', t, v: leakMilliamps / 1000 },
      { n: 'ia', u: 'A', t, v: 17.1 },
      { n: 'ib', u: 'A', t, v: 17 },
      { n: 'ic', u: 'A', t, v: 17.3 },
    );
  }
  return JSON.stringify(records);
}
