export {
  type Alerting,
  type AlertingHealth,
  type AlertingParts,
  startAlerting,
} from './alerting.ts';
export { createWhomToTell } from './bystander/whom-to-tell.ts';
export type { Channel, HandedOver, PageMessage } from './channels/channel.ts';
export { mistakeInAddress } from './channels/contact-address.ts';
export { type ChannelSettings, createChannels } from './channels/create-channels.ts';
export {
  type MailSender,
  type MailServer,
  parseMailSender,
  parseMailServer,
} from './channels/mail-server.ts';
export { neverCalled, parseNetworks } from './channels/outside-guard.ts';
export { generateVapidKeys, type VapidKeys } from './channels/web-push-channel.ts';
export { type PagingParts, startPaging } from './follow/start-paging.ts';
export { pageLinkId, pageLinkSecret, readPageLink, signPageLink } from './messages/page-link.ts';
export { roofDangerOf } from './messages/roof-danger.ts';
export {
  createDeliverer,
  type Deliverer,
  type DelivererHealth,
  type DelivererParts,
} from './outbox/deliverer.ts';
export { DELIVERER_LIMITS, type DelivererLimits } from './outbox/limits.ts';
export type { MessageWords } from './outbox/message-words.ts';
export { type PushKeys, pushKeys } from './push-keys.ts';
export { type SendTestParts, sendTest, type TestedContact } from './send-test.ts';
