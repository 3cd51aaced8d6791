import {
  mistakeAt,
  parseWrittenYaml,
  schemaMistake,
  type WrittenYaml,
} from '@lineside/written-file';
import { firstMistake } from './check-rota.ts';
import type { Rota } from './rota.ts';
import { rotaFile } from './rota-schema.ts';

/** 4 million characters: some 20,000 covers, a large company's of decades. */
const ROTA_FILE_MOST_CHARACTERS = 4_000_000;

/**
 * Reads a rota file, YAML or JSON, and fills in the defaults. Whether anybody is on call all the
 * time, and whether each site has a team, is another question: see `reviewRota` and `reviewSites`.
 *
 * @param text the content of the file.
 * @param fileName only for messages.
 * @throws WrittenFileError whose message has the file, line and column, the place such as
 *   `teams[0].first[1].from`, what was expected there and what was found.
 */
export function parseRotaFile(text: string, fileName: string): Rota {
  return checked(parseWrittenYaml(text, fileName, ROTA_FILE_MOST_CHARACTERS), fileName);
}

/**
 * The same from a value, such as a rota that a record store kept as JSON.
 *
 * @param name says in messages what it is.
 * @throws WrittenFileError likewise, without line and column.
 */
export function parseRota(value: unknown, name: string): Rota {
  return checked({ value, position: () => '' }, name);
}

function checked(yaml: WrittenYaml, fileName: string): Rota {
  const parsed = rotaFile.safeParse(yaml.value);
  if (!parsed.success) throw schemaMistake(parsed.error.issues, yaml, fileName, 'a rota file');
  const mistake = firstMistake(parsed.data);
  if (mistake !== null) throw mistakeAt(fileName, yaml, mistake.path, mistake.words);
  return parsed.data;
}
