import { mistakeInAddress } from '@lineside/alerting';
import { ID_PATTERN, ID_RULE } from '@lineside/readings';
import type { ChannelKind } from '@lineside/storage';
import { mistakeAt, parseWrittenYaml, schemaMistake, section } from '@lineside/written-file';
import { z } from 'zod';

/** A hundred thousand contact points. */
const CONTACTS_FILE_MOST_CHARACTERS = 16_000_000;

/** A contact point as the file states it. */
export interface StatedContact {
  readonly id: string;
  readonly name: string;
  readonly channel: ChannelKind;
  /** Plain JSON. */
  readonly address: unknown;
}

const idOfContact = z.string().regex(ID_PATTERN, { error: ID_RULE });

const oneOf = 'an e-mail address or a webhook with url and secret, one of both';

// Addresses are read by their channels, whose messages quote none of them: they are secrets.
const contact = section({
  name: z.string({ error: 'a name' }).min(1, { error: 'a name' }).optional(),
  'e-mail': z.unknown().optional(),
  webhook: z.unknown().optional(),
}).refine((one) => (one['e-mail'] === undefined) !== (one.webhook === undefined), {
  error: oneOf,
});

const contactsFile = section({
  contacts: z.record(idOfContact, contact, { error: 'contact points by their ids' }),
});

/**
 * Reads a contacts file, YAML or JSON: how the contact points that a rota names are reached.
 *
 * @param fileName only for messages.
 * @throws WrittenFileError with file, line and column, the place and what was expected there; it
 *   quotes no address and no secret.
 */
export function parseContactsFile(text: string, fileName: string): readonly StatedContact[] {
  const yaml = parseWrittenYaml(text, fileName, CONTACTS_FILE_MOST_CHARACTERS);
  const parsed = contactsFile.safeParse(yaml.value);
  if (!parsed.success) throw schemaMistake(parsed.error.issues, yaml, fileName, 'a contacts file');
  return Object.entries(parsed.data.contacts).map(([id, stated]) => {
    const isMail = stated['e-mail'] !== undefined;
    const channel = isMail ? 'e-mail' : 'webhook';
    const address = isMail ? { to: stated['e-mail'] } : stated.webhook;
    const mistake = mistakeInAddress(channel, address);
    if (mistake !== null) {
      const words = mistake.replace(/^the stored /, 'the ').replace(' at to: ', ': ');
      throw mistakeAt(fileName, yaml, ['contacts', id, channel], words);
    }
    return { id, name: stated.name ?? id, channel, address };
  });
}
