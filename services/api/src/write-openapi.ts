/** Writes the OpenAPI document beside the package: `npm run openapi -w @lineside/api`. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openApiDocument } from './openapi-document.ts';

const FILE = join(import.meta.dirname, '..', 'openapi.json');

writeFileSync(FILE, await openApiDocument());
