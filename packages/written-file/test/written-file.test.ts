import {
  mistakeAt,
  parseWrittenYaml,
  schemaMistake,
  section,
  WrittenFileError,
} from '@lineside/written-file';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';

const MOST_CHARACTERS = 1000;
const schema = section({
  name: z.string({ error: 'a name' }),
  hours: z.union([z.number(), section({ from: z.number({ error: 'an hour' }) })], {
    error: 'hours',
  }),
});

function readingOf(text: string): string {
  try {
    const yaml = parseWrittenYaml(text, 'a.yaml', MOST_CHARACTERS);
    const parsed = schema.safeParse(yaml.value);
    if (parsed.success) return 'read';
    throw schemaMistake(parsed.error.issues, yaml, 'a.yaml', 'a file of hours');
  } catch (error) {
    if (error instanceof WrittenFileError) return error.message;
    throw error;
  }
}

describe('a file that somebody wrote', () => {
  it('is read, as YAML and as JSON', () => {
    expect(readingOf('name: night\nhours: 8')).toBe('read');
    expect(readingOf('{"name": "night", "hours": {"from": 20}}')).toBe('read');
  });

  it('is refused with line, column, place, what was expected and what was found', () => {
    expect(readingOf('name: [1, 2]\nhours: 8')).toBe(
      'a.yaml:1:7: name: expected a name, found a list of 2',
    );
    expect(readingOf('name: night\nhours:\n  from: late')).toBe(
      'a.yaml:3:9: hours.from: expected an hour, found the text "late"',
    );
    expect(readingOf('name: night\nhours: 8\nday: 1')).toBe(
      'a.yaml:3:6: day: expected only the keys name, hours, found the key day',
    );
    expect(readingOf('{}')).toBe(
      'a.yaml:1:1: name: expected a name, found nothing\n1 more mistake follows',
    );
  });

  it('is refused when it is no YAML, two documents, too long, or aliases without end', () => {
    expect(readingOf('name: [')).toMatch(/^a\.yaml:1:8: /);
    expect(readingOf('a: 1\n---\nb: 2')).toBe(
      'a.yaml:2:1: expected one document, a second one begins here',
    );
    expect(readingOf('x'.repeat(MOST_CHARACTERS + 1))).toBe(
      'a.yaml: it has 1001 characters, at most 1000',
    );
    const ten = (name: string): string => new Array(10).fill(`*${name}`).join(', ');
    const bomb = `a: &a [x]\nb: &b [${ten('a')}]\nc: &c [${ten('b')}]\nd: &d [${ten('c')}]\ne: [${ten('d')}]`;
    expect(readingOf(bomb)).toMatch(/^a\.yaml: it cannot be read: /);
  });

  it('names the nearest part that exists where something is missing', () => {
    const yaml = parseWrittenYaml('sites:\n  - id: a', 'a.yaml', MOST_CHARACTERS);
    expect(mistakeAt('a.yaml', yaml, ['sites', 0, 'units', 3], 'why').message).toBe(
      'a.yaml:2:5: sites[0].units[3]: why',
    );
  });
});
