/**
 * Writes src/generated/api-types.ts from the API's own document, so that a change of the API shows
 * as a type error here: `npm run api-types -w @lineside/dashboard`.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import openapiTypes, { astToString } from 'openapi-typescript';

const ROOM = join(import.meta.dirname, '..');
const DOCUMENT = join(ROOM, '..', 'api', 'openapi.json');

/** Where the types are kept. */
export const API_TYPES_FILE: string = join(ROOM, 'src', 'generated', 'api-types.ts');

/** The types that the API's present document gives. */
export async function apiTypesText(): Promise<string> {
  return astToString(await openapiTypes(pathToFileURL(DOCUMENT)));
}

if (process.argv[1] === import.meta.filename) writeFileSync(API_TYPES_FILE, await apiTypesText());
