import { CHANNEL_KINDS, type ChannelKind } from '@lineside/storage';
import { z } from 'zod';
import { timeText } from './time-fields.ts';

export interface AlertingJson {
  readonly at: string;
  readonly lastReading: string | null;
  readonly handedOver: readonly { readonly channel: ChannelKind; readonly at: string }[];
  readonly waiting: {
    readonly messages: number;
    readonly isMore: boolean;
    readonly oldest: string | null;
  };
  readonly failure: {
    readonly at: string;
    readonly channel: ChannelKind;
    readonly givenUp: boolean;
    readonly reason: string;
  } | null;
}

export const alertingSchema: z.ZodType<AlertingJson> = z
  .object({
    at: timeText.describe('Now, by the clock of the server.'),
    lastReading: timeText.nullable().describe('Event time of the newest judged reading.'),
    handedOver: z
      .array(z.object({ channel: z.enum(CHANNEL_KINDS), at: timeText }))
      .describe('When each channel last took a page.'),
    waiting: z.object({
      messages: z.int().describe('Pages that wait for their channel.'),
      isMore: z.boolean().describe('Whether more of them wait than were counted.'),
      oldest: timeText.nullable().describe('When the oldest of them was made.'),
    }),
    failure: z
      .object({
        at: timeText.describe('When the page was made.'),
        channel: z.enum(CHANNEL_KINDS),
        givenUp: z.boolean().describe('false while it is tried again.'),
        reason: z.string(),
      })
      .nullable()
      .describe('Of the newest hundred pages the newest that has not gone through.'),
  })
  .meta({ id: 'Alerting' });

export interface TestPageJson {
  readonly sent: readonly {
    readonly contact: string;
    readonly channel: ChannelKind;
    readonly name: string;
  }[];
  readonly words: string;
}

export const testPageSchema: z.ZodType<TestPageJson> = z
  .object({
    sent: z.array(
      z.object({
        contact: z.string().describe('Id of the contact point.'),
        channel: z.enum(CHANNEL_KINDS),
        name: z.string(),
      }),
    ),
    words: z.string().describe('What was sent, and to where.'),
  })
  .meta({ id: 'TestPage' });
