import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { onCallAt, parseRotaFile, reviewRota, reviewSites } from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { at, LEAST } from './rota-texts.ts';

const TEXT = readFileSync(join(import.meta.dirname, '..', 'ROTA.md'), 'utf8');
const EXAMPLE = /```yaml\n([\s\S]*?)```/.exec(TEXT)?.[1] ?? '';

describe('the example of ROTA.md', () => {
  it('is a rota in order, with its cover and its swap', () => {
    const rota = parseRotaFile(EXAMPLE, 'ROTA.md');
    expect(reviewSites(rota, ['harbour-mall', 'pier-nine', 'far-away'])).toEqual([]);
    expect(reviewRota(rota, at('2026-01-06T00:00Z'), at('2026-12-31T00:00Z'))).toEqual([]);
    expect(onCallAt(rota, 'north', at('2026-02-05T00:00Z')).first.person).toBe('cyd');
    expect(onCallAt(rota, 'north', at('2026-02-10T00:00Z')).first.person).toBe('dov');
    expect(onCallAt(rota, 'north', at('2026-02-24T00:00Z')).first.person).toBe('ben');
  });

  it('states the defaults of the escalation', () => {
    const { escalation } = parseRotaFile(EXAMPLE, 'ROTA.md');
    expect(escalation).toEqual(parseRotaFile(LEAST, 'rota.yaml').escalation);
  });
});
