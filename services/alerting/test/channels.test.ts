import { describeChannel } from './channel-contract.ts';
import { startMailHost } from './counterparts/mail-host.ts';
import { startPushService } from './counterparts/push-service.ts';
import { startWebhookReceiver } from './counterparts/webhook-receiver.ts';

describeChannel('web push', startPushService);
describeChannel('e-mail', startMailHost);
describeChannel('webhook', startWebhookReceiver);
