import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvText } from '../src/index.ts';

/** A reader after the grammar of RFC 4180, section 2, written apart from the writer. */
function parse(text: string): string[][] {
  const lines: string[][] = [];
  let rest = text;
  let line: string[] = [];
  while (rest !== '') {
    const found = /^(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/.exec(rest);
    if (found === null) throw new Error(`no cell at ${JSON.stringify(rest.slice(0, 20))}`);
    line.push(found[1]?.replaceAll('""', '"') ?? found[2] ?? '');
    if (found[3] === '\r\n') {
      lines.push(line);
      line = [];
    }
    rest = rest.slice(found[0].length);
  }
  return lines;
}

describe('csvText', () => {
  it('writes what RFC 4180 shows', () => {
    expect(
      csvText([
        ['aaa', 'b\r\nbb', 'c"c', 'd,d'],
        [1, null, true, 0.5],
      ]),
    ).toBe('aaa,"b\r\nbb","c""c","d,d"\r\n1,,true,0.5\r\n');
  });

  it('gives back every text that is no formula', () => {
    const cell = fc.string({ unit: fc.constantFrom('a', '"', ',', '\r', '\n', ' ', 'é', '=') });
    const lines = fc.array(fc.array(cell, { minLength: 1, maxLength: 5 }), { maxLength: 6 });
    fc.assert(
      fc.property(lines, (cells) => {
        const expected = cells.map((one) => one.map((text) => text.replace(/^(?=[=\r])/, "'")));
        expect(parse(csvText(cells))).toEqual(expected);
      }),
    );
  });

  it('keeps a spreadsheet from running a name as a formula, and leaves numbers alone', () => {
    expect(csvText([['=1+1', '+2', '-3', '@x', -3]])).toBe("'=1+1,'+2,'-3,'@x,-3\r\n");
  });
});
