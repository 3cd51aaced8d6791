export type { Channel, HandedOver, PageMessage } from './channels/channel.ts';
