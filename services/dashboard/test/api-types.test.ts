import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { API_TYPES_FILE, apiTypesText } from '../tools/api-types.ts';

it('the types of the API are those of its present document (else: npm run api-types)', async () => {
  expect(readFileSync(API_TYPES_FILE, 'utf8')).toBe(await apiTypesText());
});
