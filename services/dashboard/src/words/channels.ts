import type { ContactPoint } from '../api/types.ts';

const CHANNELS: Readonly<Record<ContactPoint['channel'], string>> = {
  'web-push': 'push',
  'e-mail': 'e-mail',
  webhook: 'message gateway',
};

export const channelWords = (channel: ContactPoint['channel']): string => CHANNELS[channel];
