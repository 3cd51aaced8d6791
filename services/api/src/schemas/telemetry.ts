import { CHANNEL_NAMES, type ChannelName } from '@lineside/readings';
import { z } from 'zod';
import { wholeNumber } from './page.ts';
import { type Span, timeMs } from './time-fields.ts';

/** Points a channel when the request names none: about one a pixel of a wide chart. */
const POINTS_DEFAULT = 1000;
/** Most points a channel: two weeks of minutes; more is an export, not a chart. */
const POINTS_MOST = 20_000;
/** Window when the request names none. */
export const TELEMETRY_DEFAULT_WINDOW_MS: number = 24 * 3_600_000;

export interface TelemetryQuery extends Span {
  readonly channels: readonly ChannelName[] | null;
  readonly points: number;
}

const CHANNELS_RULE = `must be names of channels joined by commas, of ${CHANNEL_NAMES.join(', ')}`;

const isChannel = (name: string): name is ChannelName =>
  (CHANNEL_NAMES as readonly string[]).includes(name);

const channels = z
  .string()
  .meta({ examples: ['rh,leak'] })
  .transform((text, context): readonly ChannelName[] => {
    const names = text.split(',').map((name) => name.trim());
    const known = names.filter(isChannel);
    if (known.length === names.length) return [...new Set(known)];
    context.issues.push({ code: 'custom', message: CHANNELS_RULE, input: text });
    return z.NEVER;
  });

export const telemetryQuery: z.ZodType<TelemetryQuery> = z.object({
  from: timeMs.optional().describe('Half open: from <= t < to. Default: 24 hours before to.'),
  to: timeMs.optional().describe('Default: now.'),
  channels: channels.nullable().default(null).describe('Default: every channel with data.'),
  points: wholeNumber(1, POINTS_MOST, `must be a whole number from 1 to ${POINTS_MOST}`)
    .default(POINTS_DEFAULT)
    .describe('Most points a channel; raw points where there are no more than these.'),
});

/** `[epoch ms, lowest, mean, highest]` */
type PointJson = readonly [number, number, number, number];

export interface TelemetryJson {
  readonly channels: Readonly<
    Record<string, { readonly unit: string | null; readonly points: readonly PointJson[] }>
  >;
}

const point = z
  .tuple([z.number(), z.number(), z.number(), z.number()])
  .describe('Epoch ms, minimum, mean, maximum; a raw point has three equal values.');

/** Written by the telemetry store itself, here for the document. */
export const telemetrySchema: z.ZodType<TelemetryJson> = z
  .object({
    channels: z.record(
      z.string(),
      z.object({ unit: z.string().nullable(), points: z.array(point) }),
    ),
  })
  .meta({ id: 'Telemetry' });
