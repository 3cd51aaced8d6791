import { bodyOf, client, spanQuery } from './client.ts';
import type {
  AlarmFigures,
  Hold,
  HoldRequest,
  Precision,
  Unit,
  Verdict,
  VerdictEntry,
} from './types.ts';

export function readUnit(site: string, unit: string): Promise<Unit> {
  return bodyOf(client.GET('/api/units/{site}/{unit}', { params: { path: { site, unit } } }));
}

export function startHold(site: string, unit: string, body: HoldRequest): Promise<Hold> {
  const path = { site, unit };
  return bodyOf(client.POST('/api/units/{site}/{unit}/holds', { params: { path }, body }));
}

export async function endHold(id: string): Promise<void> {
  await client.POST('/api/holds/{id}/end', { params: { path: { id } } });
}

/** What people found of an alarm, newest first, one of each person. */
export async function verdictsOf(id: string): Promise<readonly Verdict[]> {
  return (await bodyOf(client.GET('/api/alarms/{id}/verdicts', { params: { path: { id } } })))
    .items;
}

/** Replaces what the same person said of it before. */
export function giveVerdict(id: string, body: VerdictEntry): Promise<Verdict> {
  return bodyOf(client.POST('/api/alarms/{id}/verdict', { params: { path: { id } }, body }));
}

/** Alarms raised in [fromMs, toMs). */
export function readPrecision(
  by: 'kind' | 'site',
  fromMs: number,
  toMs: number,
): Promise<Precision> {
  const query = { by, ...spanQuery(fromMs, toMs) };
  return bodyOf(client.GET('/api/precision', { params: { query } }));
}

export function readAlarmFigures(fromMs: number, toMs: number): Promise<AlarmFigures> {
  return bodyOf(client.GET('/api/alarm-figures', { params: { query: spanQuery(fromMs, toMs) } }));
}

/** Where the same figures are as CSV. */
export function figuresCsvAddress(fromMs: number, toMs: number): string {
  return `/api/alarm-figures.csv?${new URLSearchParams(spanQuery(fromMs, toMs))}`;
}
