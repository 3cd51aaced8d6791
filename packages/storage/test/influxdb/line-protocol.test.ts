import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineHead, readingLine, tagValue } from '../../src/influxdb/line-protocol.ts';
import { channelIndex, maskOf } from '../../src/sqlite/telemetry/channel-mask.ts';

/** Reads a tag value as a server does: a backslash takes the next of the three as it is. */
function readTag(text: string): string {
  return text.replace(/\\([,= ])/g, '$1');
}

describe('tagValue', () => {
  it('escapes what would end a tag', () => {
    expect(tagValue('north, hall=2 b')).toBe('north\\,\\ hall\\=2\\ b');
    expect(tagValue('plain-7')).toBe('plain-7');
  });

  it('leaves no separator unescaped, and reads back the same', () => {
    const texts = fc
      .string({ unit: 'binary', minLength: 1 })
      .filter((text) => !/[\r\n\\]/.test(text));
    fc.assert(
      fc.property(texts, (text) => {
        const written = tagValue(text);
        expect(written.replace(/\\[,= ]/g, '')).not.toMatch(/[,= ]/);
        expect(readTag(written)).toBe(text);
      }),
    );
  });

  it.each(['', 'two\nlines', 'two\rlines', 'end\\'])('refuses %j', (text) => {
    expect(() => tagValue(text)).toThrow(RangeError);
  });
});

describe('readingLine', () => {
  const head = lineHead('harbour-mall', 'rtu-01');
  const at = Date.UTC(2026, 0, 5);

  it('writes the channels of the mask, in storage order, as floating point', () => {
    const all = maskOf(['rh', 'leak', 'door']);
    const rows = Float64Array.of(-1, 60, 0.0042, 1);
    expect(readingLine(head, at, all, all, rows, 1)).toBe(
      `reading,site=harbour-mall,unit=rtu-01 rh=60,leak=0.0042,door=1 ${at}`,
    );
    const some = maskOf(['leak']);
    expect(readingLine(head, at, some, all, rows, 1)).toBe(`${head}leak=0.0042 ${at}`);
  });

  it('writes every finite number so that it reads back the same', () => {
    const mask = maskOf(['t']);
    expect(channelIndex('t')).toBeDefined();
    const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
    fc.assert(
      fc.property(finite, (value) => {
        const line = readingLine(head, at, mask, mask, Float64Array.of(value), 0);
        const written = /t=(\S+) \d+$/.exec(line)?.[1] ?? '';
        expect(written).toMatch(/^-?\d+(\.\d+)?(e[+-]\d+)?$/);
        expect(Number(written)).toBe(value + 0);
      }),
    );
  });
});
