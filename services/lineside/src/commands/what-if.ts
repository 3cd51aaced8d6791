import { writeFileSync } from 'node:fs';
import { alarmJson } from '@lineside/alarms';
import { crossedLimits, type Fleet, LIMIT_KEYS, type LimitKey, type Unit } from '@lineside/fleet';
import { startReplayWorker } from '@lineside/ingest';
import { openRecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { existingDataFolder, telemetrySource } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import { readInfluxSettings } from '../influx-settings.ts';
import { applyFleetFile } from '../serve/fleet-file.ts';
import { MS_PER_DAY, wholeNumber } from '../simulation/span.ts';
import { runWhatIf, type WhatIfAnswer } from '../what-if/what-if-run.ts';
import { dataFolderFrom } from './serve.ts';

export interface WhatIfOptions {
  readonly data?: string;
  readonly limit: readonly string[];
  readonly site?: string;
  readonly unit?: string;
  readonly days: string;
  readonly alarms?: string;
}

/**
 * Prints how many alarms stored history would have raised with other limits, beside how many there
 * were. Reads only; a server may run over the same data. Ctrl-C ends it.
 */
export async function whatIf(options: WhatIfOptions): Promise<void> {
  const days = wholeNumber('--days', options.days, [1, 400]);
  const limits = limitsFrom(options.limit);
  const folder = existingDataFolder(dataFolderFrom(options.data));
  const records = await openRecordStore({ file: folder.records });
  try {
    const fleet = await applyFleetFile(records, null, pino({ level: 'silent' }));
    const units = unitsOf(fleet, options);
    const replayer = await startReplayWorker(
      telemetrySource(folder, readInfluxSettings(process.env)),
    );
    try {
      const toMs = Date.now();
      const question = { units, limits, fromMs: toMs - days * MS_PER_DAY, toMs };
      const answer = await runWhatIf(
        { records, replayer },
        question,
        new AbortController().signal,
        (done) => showProgress(done, units.length),
      );
      if (options.alarms !== undefined) writeAlarms(options.alarms, answer);
      process.stdout.write(tableOf(answer));
    } finally {
      await replayer.close();
    }
  } finally {
    await records.close();
  }
}

function limitsFrom(stated: readonly string[]): { [key in LimitKey]?: number } {
  const limits: { [key in LimitKey]?: number } = {};
  for (const text of stated) {
    const [name = '', value = ''] = text.split('=', 2);
    const number = Number(value);
    if (!isLimitKey(name) || value.trim() === '' || !(number > 0 && number < Infinity)) {
      const names = Object.keys(LIMIT_KEYS).join(', ');
      throw new CommandFailure(
        EXIT.badInput,
        `--limit: expected NAME=NUMBER with one of ${names}, found '${text}'`,
      );
    }
    limits[name] = number;
  }
  const crossed = crossedLimits(limits);
  if (crossed !== null) {
    const [lower, higher] = crossed;
    throw new CommandFailure(EXIT.badInput, `--limit: ${lower} must be no higher than ${higher}`);
  }
  return limits;
}

function isLimitKey(name: string): name is LimitKey {
  return Object.hasOwn(LIMIT_KEYS, name);
}

function unitsOf(fleet: Fleet, { site, unit }: WhatIfOptions): readonly Unit[] {
  if (unit !== undefined && site === undefined) {
    throw new CommandFailure(EXIT.badInput, '--unit goes with --site');
  }
  const units = fleet.units.filter(
    (one) =>
      !one.retired &&
      (site === undefined || one.site === site) &&
      (unit === undefined || one.id === unit),
  );
  if (units.length > 0) return units;
  throw new CommandFailure(EXIT.badInput, `the fleet has no such unit: ${site}/${unit ?? '*'}`);
}

function showProgress(done: number, all: number): void {
  if (!process.stderr.isTTY) return;
  process.stderr.write(`\r${done} of ${all} units${done === all ? '\n' : ''}`);
}

function writeAlarms(file: string, { alarms }: WhatIfAnswer): void {
  const lines = alarms.map((alarm) => `${JSON.stringify(alarmJson(alarm))}\n`);
  try {
    writeFileSync(file, lines.join(''));
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `cannot write ${file}: ${words}`, { cause: error });
  }
}

function tableOf({ counts }: WhatIfAnswer): string {
  const rows = counts.map(({ kind, priority, actual, would }) => [
    kind,
    priority,
    String(actual),
    String(would),
  ]);
  const head = ['kind', 'priority', 'were', 'would be'];
  const widths = head.map((title, column) =>
    Math.max(title.length, ...rows.map((row) => row[column]?.length ?? 0)),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, column) =>
        column < 2 ? cell.padEnd(widths[column] ?? 0) : cell.padStart(widths[column] ?? 0),
      )
      .join('  ')
      .trimEnd();
  return `${[head, ...rows].map(line).join('\n')}\n`;
}
