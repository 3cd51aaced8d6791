import { describe } from 'vitest';
import { describeBroker } from './broker-contract.ts';
import { mosquittoPlace, plainPlace } from './broker-places.ts';
import { HAS_MOSQUITTO } from './mosquitto-server.ts';

describe.skipIf(!HAS_MOSQUITTO)('Mosquitto (needs Debian package mosquitto)', () => {
  describeBroker('spoken to with MQTT 5', () => mosquittoPlace(false));
  describeBroker('spoken to with MQTT 3.1.1', () => mosquittoPlace(true));
});

describeBroker('a broker that knows MQTT 3.1.1 alone', plainPlace);
